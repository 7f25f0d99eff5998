// Fleets: their type, look-up, list and set-up mutations.

import { changeFleet, createFleet, retireFleet } from '../../resolvers/setup/fleet.ts'
import { builder } from '../builder.ts'
import { pages } from '../pages.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { BY_ID, listOf, lookUp, payloadOf, written } from './noun-fields.ts'
import { rowKey, SiteSetupFilter, setupMutations, siteSetupWhere } from './setup.ts'
import { recorded, setupInputs } from './setup-inputs.ts'

const RETURNS = 'Containers that are expected back, one entry a day (C1); at most 1,000.'

builder.prismaObject('FleetReturn', {
  fields: (t) => ({
    on: t.expose('on', { type: 'LocalDate' }),
    quantity: t.exposeInt('quantity'),
  }),
})

const ReturnInput = builder.inputType('FleetReturnInput', {
  description: 'Containers that are expected back at a site on a day (C1).',
  fields: (t) => ({
    on: t.field({ type: 'LocalDate', required: true, description: recorded('FleetReturn', 'on') }),
    quantity: t.int({ required: true, description: `${recorded('FleetReturn', 'quantity')} At least 1.` }),
  }),
})

builder.prismaNode('Fleet', {
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    externalRef: t.exposeString('externalRef', { nullable: true }),
    site: t.relation('site', { description: 'The site that it belongs to.' }),
    containerType: t.relation('containerType', { description: 'The size of cask or keg.' }),
    cleanNow: t.exposeInt('cleanNow'),
    washDays: t.exposeInt('washDays'),
    returns: t.relation('returns', { description: RETURNS, query: { orderBy: { on: 'asc' } } }),
    updatedAt: t.expose('updatedAt', { type: 'DateTime' }),
    retiredAt: t.expose('retiredAt', { type: 'DateTime', nullable: true }),
  }),
})

builder.queryFields((t) => ({
  fleet: t.prismaField({ type: 'Fleet', ...lookUp('Fleet', ({ client }, found) => client.fleet.findUnique(found)) }),
  fleets: t.prismaConnection(
    {
      type: 'Fleet',
      cursor: 'distributorId_id',
      ...listOf('fleets', {
        filter: SiteSetupFilter,
        where: siteSetupWhere,
        order: BY_ID,
        read: ({ client }, page) => client.fleet.findMany(page),
        count: ({ client }, where) => client.fleet.count({ where }),
      }),
    },
    ...pages('Fleet', 'fleets'),
  ),
}))

const inputs = setupInputs('Fleet', {
  externalRef: { type: 'String' },
  site: { type: ThingRefInput, needed: true, fixed: true, description: 'The site that it belongs to.' },
  containerType: { type: ThingRefInput, needed: true, fixed: true, description: 'The size of cask or keg.' },
  cleanNow: { type: 'Int', needed: true },
  washDays: { type: 'Int' },
  returns: { type: [ReturnInput], description: RETURNS },
})

export const createFleetInput = inputs.createInput

setupMutations({
  kind: 'Fleet',
  payload: payloadOf('Fleet', (t) =>
    t.prismaField({ type: 'Fleet', ...written('Fleet', ({ client }, found) => client.fleet.findUniqueOrThrow(found)) }),
  ),
  ...inputs,
  useCases: { create: createFleet, change: changeFleet, retire: retireFleet },
  saidByFacts: 'its clean containers',
  retiring: 'Its containers are no longer counted: without a fleet there is no limit.',
})
