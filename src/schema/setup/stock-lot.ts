// Stock lots: their type, look-up, list, and the mutations that enter what stands in the store.
import { changeStockLot, createStockLot } from '../../resolvers/setup/stock-lot.ts'
import { builder } from '../builder.ts'
import type { Context } from '../context.ts'
import { pages } from '../pages.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { BY_ID, listOf, lookUp, payloadOf, written } from './noun-fields.ts'
import { rowKey, StandingFilter, setupMutations, standingWhere } from './setup.ts'
import { recorded, setupInputs } from './setup-inputs.ts'

async function lotWhere(context: Context, args: { filter?: unknown }) {
  const { standing, where } = await standingWhere(context, args)
  return standing === undefined ? where : { ...where, quantity: standing ? { gt: 0 } : 0 }
}

builder.prismaNode('StockLot', {
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    updatedAt: t.expose('updatedAt', { type: 'DateTime' }),
    externalRef: t.exposeString('externalRef', { nullable: true }),
    code: t.exposeString('code'),
    site: t.relation('site', { description: 'The site that it stands at.' }),
    pack: t.relation('pack', { description: 'The pack.' }),
    batch: t.relation('batch', { nullable: true, description: recorded('StockLot', 'batchId') }),
    quantity: t.exposeInt('quantity'),
    filledOn: t.expose('filledOn', { type: 'LocalDate' }),
    readyOn: t.expose('readyOn', { type: 'LocalDate' }),
    bestBefore: t.expose('bestBefore', { type: 'LocalDate' }),
    quarantined: t.exposeBoolean('quarantined'),
  }),
})

builder.queryFields((t) => ({
  stockLot: t.prismaField({
    type: 'StockLot',
    ...lookUp('StockLot', ({ client }, found) => client.stockLot.findUnique(found)),
  }),
  stockLots: t.prismaConnection(
    {
      type: 'StockLot',
      cursor: 'distributorId_id',
      ...listOf('stock lots', {
        filter: StandingFilter,
        where: lotWhere,
        order: BY_ID,
        read: ({ client }, page) => client.stockLot.findMany(page),
        count: ({ client }, where) => client.stockLot.count({ where }),
      }),
    },
    ...pages('StockLot', 'stock lots'),
  ),
}))

const inputs = setupInputs('StockLot', {
  externalRef: { type: 'String' },
  code: { type: 'String', needed: true },
  site: { type: ThingRefInput, needed: true, fixed: true, description: 'The site that it stands at.' },
  pack: { type: ThingRefInput, needed: true, fixed: true, description: 'The pack.' },
  batch: { type: ThingRefInput, description: recorded('StockLot', 'batchId') },
  quantity: { type: 'Int', needed: true },
  filledOn: { type: 'LocalDate', needed: true },
  readyOn: { type: 'LocalDate', needed: true },
  bestBefore: { type: 'LocalDate', needed: true },
})

export const createStockLotInput = inputs.createInput

setupMutations({
  kind: 'StockLot',
  payload: payloadOf('StockLot', (t) =>
    t.prismaField({
      type: 'StockLot',
      ...written('StockLot', ({ client }, found) => client.stockLot.findUniqueOrThrow(found)),
    }),
  ),
  ...inputs,
  useCases: { create: createStockLot, change: changeStockLot },
  saidByFacts: 'its quantity and days',
})
