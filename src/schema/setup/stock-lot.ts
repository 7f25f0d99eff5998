// Stock lots: their type, look-up, list, and the mutations that enter what stands in the store.
import type { Written } from '../../resolvers/setup/noun.ts'
import { changeStockLot, createStockLot } from '../../resolvers/setup/stock-lot.ts'
import { builder } from '../builder.ts'
import type { Context } from '../context.ts'
import { needs } from '../needs.ts'
import { pages } from '../pages.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { byArg, idOf, revisionField, rowKey, StandingFilter, setupMutations, standingWhere } from './setup.ts'
import { recorded, setupInputs } from './setup-inputs.ts'

async function lotWhere(context: Context, args: { filter?: unknown }) {
  const { standing, where } = await standingWhere(context, args)
  return standing === undefined ? where : { ...where, quantity: standing ? { gt: 0 } : 0 }
}

builder.prismaNode('StockLot', {
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    externalRef: t.exposeString('externalRef', { nullable: true }),
    code: t.exposeString('code'),
    site: t.relation('site', { description: 'The site that it stands at.' }),
    pack: t.relation('pack', { description: 'The pack.' }),
    batch: t.relation('batch', { nullable: true, description: recorded('StockLot', 'batchId') }),
    quantity: t.exposeInt('quantity'),
    filledOn: t.expose('filledOn', { type: 'LocalDate' }),
    readyOn: t.expose('readyOn', { type: 'LocalDate' }),
    bestBefore: t.expose('bestBefore', { type: 'LocalDate' }),
  }),
})

builder.queryFields((t) => ({
  stockLot: t.prismaField({
    ...needs('any', 'One stock lot.'),
    type: 'StockLot',
    nullable: true,
    args: { by: byArg(t) },
    resolve: async (query, _root, { by }, context) =>
      context.client.stockLot.findUnique({ ...query, where: rowKey(context, await idOf(context, 'StockLot', by)) }),
  }),
  stockLots: t.prismaConnection(
    {
      ...needs('any', 'Stock lots in order of id.'),
      type: 'StockLot',
      cursor: 'distributorId_id',
      nullable: true,
      args: { filter: t.arg({ type: StandingFilter, description: 'Which stock lots. Absent: all.' }) },
      resolve: async (query, _root, args, context) =>
        context.client.stockLot.findMany({
          ...query,
          where: await lotWhere(context, args),
          orderBy: { id: 'asc' },
        }),
      totalCount: async (_root, args, context) =>
        context.client.stockLot.count({ where: await lotWhere(context, args) }),
    },
    ...pages('StockLot', 'stock lots'),
  ),
}))

setupMutations({
  kind: 'StockLot',
  words: 'a stock lot',
  payload: builder.objectRef<Written>('StockLotPayload').implement({
    description: 'A stock lot that was written.',
    fields: (t) => ({
      revision: revisionField(t),
      stockLot: t.prismaField({
        type: 'StockLot',
        description: 'The stock lot as it is now.',
        resolve: (query, { id }, _args, context) =>
          context.client.stockLot.findUniqueOrThrow({ ...query, where: rowKey(context, id) }),
      }),
    }),
  }),
  ...setupInputs('StockLot', 'stock lot', {
    externalRef: { type: 'String' },
    code: { type: 'String', needed: true },
    site: { type: ThingRefInput, needed: true, fixed: true, description: 'The site that it stands at.' },
    pack: { type: ThingRefInput, needed: true, fixed: true, description: 'The pack.' },
    batch: { type: ThingRefInput, description: recorded('StockLot', 'batchId') },
    quantity: { type: 'Int', needed: true },
    filledOn: { type: 'LocalDate', needed: true },
    readyOn: { type: 'LocalDate', needed: true },
    bestBefore: { type: 'LocalDate', needed: true },
  }),
  useCases: { create: createStockLot, change: changeStockLot },
})
