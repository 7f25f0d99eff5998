// Beers: their type, look-up, list and set-up mutations.

import { changeBeer, createBeer, retireBeer } from '../../resolvers/setup/beer.ts'
import { MOST_ALLERGENS } from '../../resolvers/setup/limits.ts'
import { builder } from '../builder.ts'
import { pages } from '../pages.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { BY_NAME, listOf, lookUp, payloadOf, written } from './noun-fields.ts'
import { rowKey, SetupFilter, setupMutations, setupWhere } from './setup.ts'
import { recordedList, setupInputs } from './setup-inputs.ts'
import { VesselType } from './vessel.ts'

const VESSELS = 'The fermenters that it may be brewed in (V2); at most 1,000.'

builder.prismaNode('Beer', {
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    externalRef: t.exposeString('externalRef', { nullable: true }),
    name: t.exposeString('name'),
    style: t.exposeString('style'),
    fermentHours: t.exposeFloat('fermentHours'),
    restHours: t.exposeFloat('restHours'),
    dryHopHours: t.exposeFloat('dryHopHours'),
    crashHours: t.exposeFloat('crashHours'),
    maxTankDays: t.exposeInt('maxTankDays'),
    brightDays: t.exposeInt('brightDays'),
    maxBrightDays: t.exposeInt('maxBrightDays'),
    maxOpenDays: t.exposeInt('maxOpenDays', { nullable: true }),
    lossFraction: t.exposeFloat('lossFraction'),
    anyVessel: t.exposeBoolean('anyVessel'),
    vessels: t.field({
      type: [VesselType],
      description: `${VESSELS} Empty where any will do.`,
      select: (_args, _context, nested) => ({
        vessels: { select: { vessel: nested({}) }, orderBy: { vesselId: 'asc' } },
      }),
      resolve: ({ vessels }) => vessels.map(({ vessel }) => vessel),
    }),
    packs: t.relation('packs', {
      query: { orderBy: { id: 'asc' }, take: 200 },
      description: 'The packs that it is sold in; at most 200.',
    }),
    setupWeight: t.exposeFloat('setupWeight'),
    washGroup: t.exposeString('washGroup', { nullable: true }),
    finalGravity: t.exposeFloat('finalGravity', { nullable: true }),
    gravityTolerance: t.exposeFloat('gravityTolerance'),
    gravityEqualWithin: t.exposeFloat('gravityEqualWithin'),
    originalGravity: t.exposeFloat('originalGravity', { nullable: true }),
    abv: t.exposeFloat('abv', { nullable: true }),
    allergens: t.exposeStringList('allergens', { description: recordedList('Beer', 'allergens', MOST_ALLERGENS) }),
    updatedAt: t.expose('updatedAt', { type: 'DateTime' }),
    retiredAt: t.expose('retiredAt', { type: 'DateTime', nullable: true }),
  }),
})

builder.queryFields((t) => ({
  beer: t.prismaField({ type: 'Beer', ...lookUp('Beer', ({ client }, found) => client.beer.findUnique(found)) }),
  beers: t.prismaConnection(
    {
      type: 'Beer',
      cursor: 'distributorId_id',
      ...listOf('beers', {
        filter: SetupFilter,
        where: setupWhere,
        order: BY_NAME,
        read: ({ client }, page) => client.beer.findMany(page),
        count: ({ client }, where) => client.beer.count({ where }),
      }),
    },
    ...pages('Beer', 'beers'),
  ),
}))

const inputs = setupInputs('Beer', {
  externalRef: { type: 'String' },
  name: { type: 'String', needed: true },
  style: { type: 'String', needed: true },
  fermentHours: { type: 'Float', needed: true },
  restHours: { type: 'Float', needed: true },
  dryHopHours: { type: 'Float', needed: true },
  crashHours: { type: 'Float', needed: true },
  maxTankDays: { type: 'Int', needed: true },
  brightDays: { type: 'Int', needed: true },
  maxBrightDays: { type: 'Int', needed: true },
  maxOpenDays: { type: 'Int' },
  lossFraction: { type: 'Float', needed: true },
  vessels: { type: [ThingRefInput], description: `${VESSELS} Absent: any.` },
  setupWeight: { type: 'Float' },
  washGroup: { type: 'String' },
  finalGravity: { type: 'Float' },
  gravityTolerance: { type: 'Float' },
  gravityEqualWithin: { type: 'Float' },
  originalGravity: { type: 'Float' },
  abv: { type: 'Float' },
  allergens: { type: ['String'], description: recordedList('Beer', 'allergens', MOST_ALLERGENS) },
})

export const createBeerInput = inputs.createInput

setupMutations({
  kind: 'Beer',
  payload: payloadOf('Beer', (t) =>
    t.prismaField({ type: 'Beer', ...written('Beer', ({ client }, found) => client.beer.findUniqueOrThrow(found)) }),
  ),
  ...inputs,
  useCases: { create: createBeer, change: changeBeer, retire: retireBeer },
  retiring: 'It is not brewed again; what exists is sold.',
})
