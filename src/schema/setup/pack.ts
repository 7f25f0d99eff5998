// Packs: their type, look-up, list and set-up mutations.
import type { Written } from '../../resolvers/setup/noun.ts'
import { changePack, createPack, retirePack } from '../../resolvers/setup/pack.ts'
import { builder } from '../builder.ts'
import { needs } from '../needs.ts'
import { pages } from '../pages.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { Climate, VesselKind } from '../words.ts'
import { byArg, idOf, revisionField, rowKey, SetupFilter, setupMutations, setupWhere } from './setup.ts'
import { setupInputs } from './setup-inputs.ts'

builder.prismaNode('Pack', {
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    externalRef: t.exposeString('externalRef', { nullable: true }),
    name: t.exposeString('name'),
    beer: t.relation('beer', { description: 'The beer that is in it.' }),
    containerType: t.relation('containerType', { description: 'The cask or keg that it is in.' }),
    drawFrom: t.expose('drawFrom', { type: VesselKind }),
    conditioningDays: t.exposeInt('conditioningDays'),
    conditionIn: t.expose('conditionIn', { type: Climate }),
    settleDays: t.exposeInt('settleDays'),
    shelfLifeDays: t.exposeInt('shelfLifeDays'),
    primed: t.exposeBoolean('primed'),
    primingWindowDays: t.exposeInt('primingWindowDays', { nullable: true }),
    retiredAt: t.expose('retiredAt', { type: 'DateTime', nullable: true }),
  }),
})

builder.queryFields((t) => ({
  pack: t.prismaField({
    ...needs('any', 'One pack.'),
    type: 'Pack',
    nullable: true,
    args: { by: byArg(t) },
    resolve: async (query, _root, { by }, context) =>
      context.client.pack.findUnique({ ...query, where: rowKey(context, await idOf(context, 'Pack', by)) }),
  }),
  packs: t.prismaConnection(
    {
      ...needs('any', 'Packs in order of name.'),
      type: 'Pack',
      cursor: 'distributorId_id',
      nullable: true,
      args: { filter: t.arg({ type: SetupFilter, description: 'Which packs. Absent: all.' }) },
      resolve: (query, _root, args, context) =>
        context.client.pack.findMany({
          ...query,
          where: setupWhere(context, args),
          orderBy: [{ name: 'asc' }, { id: 'asc' }],
        }),
      totalCount: (_root, args, context) => context.client.pack.count({ where: setupWhere(context, args) }),
    },
    ...pages('Pack', 'packs'),
  ),
}))

setupMutations({
  kind: 'Pack',
  words: 'a pack',
  payload: builder.objectRef<Written>('PackPayload').implement({
    description: 'A pack that was written.',
    fields: (t) => ({
      revision: revisionField(t),
      pack: t.prismaField({
        type: 'Pack',
        description: 'The pack as it is now.',
        resolve: (query, { id }, _args, context) =>
          context.client.pack.findUniqueOrThrow({ ...query, where: rowKey(context, id) }),
      }),
    }),
  }),
  ...setupInputs('Pack', 'pack', {
    externalRef: { type: 'String' },
    name: { type: 'String', needed: true },
    beer: { type: ThingRefInput, needed: true, fixed: true, description: 'The beer that is in it.' },
    containerType: { type: ThingRefInput, needed: true, fixed: true, description: 'The cask or keg that it is in.' },
    drawFrom: { type: VesselKind, needed: true },
    conditioningDays: { type: 'Int', needed: true },
    conditionIn: { type: Climate },
    settleDays: { type: 'Int', needed: true },
    shelfLifeDays: { type: 'Int', needed: true },
    primed: { type: 'Boolean' },
    primingWindowDays: { type: 'Int' },
  }),
  useCases: { create: createPack, change: changePack, retire: retirePack },
  retiring: 'It takes no new orders.',
})
