// Stores: their type, look-up, list and set-up mutations.
import { changeStore, createStore, retireStore } from '../../resolvers/setup/store.ts'
import { inUnit } from '../../sheets/volumes.ts'
import { builder } from '../builder.ts'
import { pages } from '../pages.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { Climate } from '../words.ts'
import { BY_NAME, listOf, lookUp, payloadOf, written } from './noun-fields.ts'
import { rowKey, SiteSetupFilter, setupMutations, siteSetupWhere } from './setup.ts'
import { setupInputs } from './setup-inputs.ts'
import { unitArg } from './volume.ts'

builder.prismaNode('Store', {
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    externalRef: t.exposeString('externalRef', { nullable: true }),
    site: t.relation('site', { description: 'The site that it belongs to.' }),
    name: t.exposeString('name'),
    climate: t.expose('climate', { type: Climate }),
    capacityLitres: t.exposeFloat('capacityLitres'),
    capacity: t.float({
      description: 'Nominal volume of the containers that fit (S1), in the unit asked for.',
      args: { unit: unitArg(t) },
      resolve: ({ capacityLitres }, { unit }) => inUnit(capacityLitres, unit),
    }),
    updatedAt: t.expose('updatedAt', { type: 'DateTime' }),
    retiredAt: t.expose('retiredAt', { type: 'DateTime', nullable: true }),
  }),
})

builder.queryFields((t) => ({
  store: t.prismaField({ type: 'Store', ...lookUp('Store', ({ client }, found) => client.store.findUnique(found)) }),
  stores: t.prismaConnection(
    {
      type: 'Store',
      cursor: 'distributorId_id',
      ...listOf('stores', {
        filter: SiteSetupFilter,
        where: siteSetupWhere,
        order: BY_NAME,
        read: ({ client }, page) => client.store.findMany(page),
        count: ({ client }, where) => client.store.count({ where }),
      }),
    },
    ...pages('Store', 'stores'),
  ),
}))

setupMutations({
  kind: 'Store',
  payload: payloadOf('Store', (t) =>
    t.prismaField({ type: 'Store', ...written('Store', ({ client }, found) => client.store.findUniqueOrThrow(found)) }),
  ),
  ...setupInputs('Store', {
    externalRef: { type: 'String' },
    site: { type: ThingRefInput, needed: true, fixed: true, description: 'The site that it belongs to.' },
    name: { type: 'String', needed: true },
    climate: { type: Climate, needed: true, fixed: true },
    capacityLitres: { type: 'Float', needed: true },
  }),
  useCases: { create: createStore, change: changeStore, retire: retireStore },
  retiring: 'It no longer limits anything: without a store there is no limit.',
})
