// Beers: their type, look-up, list and set-up mutations.

import { changeBeer, createBeer, retireBeer } from '../../resolvers/setup/beer.ts'
import type { Written } from '../../resolvers/setup/noun.ts'
import { builder } from '../builder.ts'
import { needs } from '../needs.ts'
import { pages } from '../pages.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { byArg, idOf, revisionField, rowKey, SetupFilter, setupMutations, setupWhere } from './setup.ts'
import { setupInputs } from './setup-inputs.ts'
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
    retiredAt: t.expose('retiredAt', { type: 'DateTime', nullable: true }),
  }),
})

builder.queryFields((t) => ({
  beer: t.prismaField({
    ...needs('any', 'One beer.'),
    type: 'Beer',
    nullable: true,
    args: { by: byArg(t) },
    resolve: async (query, _root, { by }, context) =>
      context.client.beer.findUnique({ ...query, where: rowKey(context, await idOf(context, 'Beer', by)) }),
  }),
  beers: t.prismaConnection(
    {
      ...needs('any', 'Beers in order of name.'),
      type: 'Beer',
      cursor: 'distributorId_id',
      nullable: true,
      args: { filter: t.arg({ type: SetupFilter, description: 'Which beers. Absent: all.' }) },
      resolve: (query, _root, args, context) =>
        context.client.beer.findMany({
          ...query,
          where: setupWhere(context, args),
          orderBy: [{ name: 'asc' }, { id: 'asc' }],
        }),
      totalCount: (_root, args, context) => context.client.beer.count({ where: setupWhere(context, args) }),
    },
    ...pages('Beer', 'beers'),
  ),
}))

setupMutations({
  kind: 'Beer',
  words: 'a beer',
  payload: builder.objectRef<Written>('BeerPayload').implement({
    description: 'A beer that was written.',
    fields: (t) => ({
      revision: revisionField(t),
      beer: t.prismaField({
        type: 'Beer',
        description: 'The beer as it is now.',
        resolve: (query, { id }, _args, context) =>
          context.client.beer.findUniqueOrThrow({ ...query, where: rowKey(context, id) }),
      }),
    }),
  }),
  ...setupInputs('Beer', 'beer', {
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
  }),
  useCases: { create: createBeer, change: changeBeer, retire: retireBeer },
  retiring: 'It is not brewed again; what exists is sold.',
})
