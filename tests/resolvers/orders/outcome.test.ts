// What a change makes of an order's lines comes in the order in which the caller named them.
import { expect, test } from 'vitest'
import { addDays } from '../../../src/planner/documents/index.ts'
import { amendOrder } from '../../../src/resolvers/orders/amend-order.ts'
import { placeOrder } from '../../../src/resolvers/orders/place-order.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, actor, scenario } = await openPlannedDemo()
const { today, accounts } = scenario.problem
const account = { externalRef: scenario.names.accounts?.[accounts[0]?.id ?? '']?.externalRef ?? '' }
const QUANTITIES = [7, 3, 5, 1, 6, 2, 4]
const lines = QUANTITIES.map((quantity) => ({ pack: { externalRef: 'MAR-KEG50' }, quantity }))

test('the outcome of an order and of an amendment lists lines as the input does', async () => {
  const serveOn = addDays(today, 20)
  const placed = await placeOrder(actor, { account, serveOn, accept: 'AS_DEMAND', externalRef: 'MANY', lines })
  expect(placed.outcome.map(({ quantity }) => quantity)).toEqual(QUANTITIES)
  const stored = await client.orderLine.findMany({ where: { orderId: placed.id }, orderBy: { lineNumber: 'asc' } })
  for (const [index, { id }] of stored.entries())
    await client.orderLine.update({
      where: { distributorId_id: { distributorId: actor.distributorId, id } },
      data: { externalRef: `LINE-${index}` },
    })
  const amended = await amendOrder(actor, {
    order: { externalRef: 'MANY' },
    accept: 'AS_DEMAND',
    changeLines: stored.map((_, index) => ({ line: { externalRef: `LINE-${index}` }, quantity: 10 + index })),
  })
  expect(amended.outcome.map(({ quantity }) => quantity)).toEqual(stored.map((_, index) => 10 + index))
})
