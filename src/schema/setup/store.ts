// Stores: their type, look-up, list and set-up mutations.
import type { Written } from '../../resolvers/setup/noun.ts'
import { changeStore, createStore, retireStore } from '../../resolvers/setup/store.ts'
import { builder } from '../builder.ts'
import { needs } from '../needs.ts'
import { pages } from '../pages.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { Climate } from '../words.ts'
import { byArg, idOf, revisionField, rowKey, SiteSetupFilter, setupMutations, siteSetupWhere } from './setup.ts'
import { setupInputs } from './setup-inputs.ts'
import { inUnit, unitArg } from './volume.ts'

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
    retiredAt: t.expose('retiredAt', { type: 'DateTime', nullable: true }),
  }),
})

builder.queryFields((t) => ({
  store: t.prismaField({
    ...needs('any', 'One store.'),
    type: 'Store',
    nullable: true,
    args: { by: byArg(t) },
    resolve: async (query, _root, { by }, context) =>
      context.client.store.findUnique({ ...query, where: rowKey(context, await idOf(context, 'Store', by)) }),
  }),
  stores: t.prismaConnection(
    {
      ...needs('any', 'Stores in order of name.'),
      type: 'Store',
      cursor: 'distributorId_id',
      nullable: true,
      args: { filter: t.arg({ type: SiteSetupFilter, description: 'Which stores. Absent: all.' }) },
      resolve: async (query, _root, args, context) =>
        context.client.store.findMany({
          ...query,
          where: await siteSetupWhere(context, args),
          orderBy: [{ name: 'asc' }, { id: 'asc' }],
        }),
      totalCount: async (_root, args, context) =>
        context.client.store.count({ where: await siteSetupWhere(context, args) }),
    },
    ...pages('Store', 'stores'),
  ),
}))

setupMutations({
  kind: 'Store',
  words: 'a store',
  payload: builder.objectRef<Written>('StorePayload').implement({
    description: 'A store that was written.',
    fields: (t) => ({
      revision: revisionField(t),
      store: t.prismaField({
        type: 'Store',
        description: 'The store as it is now.',
        resolve: (query, { id }, _args, context) =>
          context.client.store.findUniqueOrThrow({ ...query, where: rowKey(context, id) }),
      }),
    }),
  }),
  ...setupInputs('Store', 'store', {
    externalRef: { type: 'String' },
    site: { type: ThingRefInput, needed: true, fixed: true, description: 'The site that it belongs to.' },
    name: { type: 'String', needed: true },
    climate: { type: Climate, needed: true, fixed: true },
    capacityLitres: { type: 'Float', needed: true },
  }),
  useCases: { create: createStore, change: changeStore, retire: retireStore },
  retiring: 'It no longer limits anything: without a store there is no limit.',
})
