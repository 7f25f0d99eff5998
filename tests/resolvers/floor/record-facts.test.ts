// Facts through the use-case: what they do to the records, the ledger and the plan in force.
import { describe, expect, test } from 'vitest'
import { ledgerFaults } from '../../../src/floor/ledger/identity.ts'
import { checkPlan } from '../../../src/planner/index.ts'
import { entryOf } from '../../../src/records/ledger.ts'
import { recordFacts } from '../../../src/resolvers/floor/record-facts.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { cancelOrder } from '../../../src/resolvers/orders/cancel-order.ts'
import { placeOrder } from '../../../src/resolvers/orders/place-order.ts'
import { reserveBeer } from '../../../src/resolvers/reservations/reserve-beer.ts'
import { recordStatements } from '../../support/database.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, actor, stored } = await openPlannedDemo()
const { distributorId } = actor
const record = (...facts: object[]) => recordFacts(actor, { facts }, 'the cellar')
const ledger = async () => (await client.ledgerEntry.findMany({ where: { distributorId } })).map(entryOf)

/** The plan in force is valid for the records, and the ledger balances. */
async function holds() {
  const { problem, plan } = await stored()
  expect(
    checkPlan({ ...problem, baseline: plan }, { ...plan, moved: [] }).violations.filter(({ rule }) => rule !== 'COST'),
  ).toEqual([])
  expect(ledgerFaults(await ledger())).toEqual([])
}

describe('a fill', () => {
  test('makes its lot, takes beer and clean containers, and leaves nothing of its run in the plan', async () => {
    const { plan, problem } = await stored()
    const run = plan.fillRuns.find(
      ({ on, batchId }) => on === problem.today && problem.batches.some(({ id }) => id === batchId),
    )
    if (!run) throw new Error('something is filled today')
    const takers = plan.deliveries.filter(({ from }) => from.some(({ fillRunId }) => fillRunId === run.id))
    const {
      result: { ids },
      statements,
    } = await recordStatements(() => record({ filled: { fillRun: run.id, quantity: run.quantity } }))
    const those = (pattern: RegExp) => statements.filter((sql) => pattern.test(sql))
    // The fact, its subjects, its entries and the balances are written at once; what was said of its things is read at once.
    expect(those(/INTO (.public"\.)?"(Fact|FactSubject|LedgerEntry|PlaceBalance)"/)).toHaveLength(1)
    expect(those(/FROM "public"\."FactSubject" LEFT JOIN/)).toHaveLength(1)
    const fact = await client.fact.findUniqueOrThrow({
      where: { distributorId_id: { distributorId, id: ids[0] ?? '' } },
    })
    const lotId = String(Object(fact.data).lotId)
    const lot = await client.stockLot.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id: lotId } } })
    expect(lot.quantity).toBe(run.quantity)
    const after = await stored()
    expect(after.plan.fillRuns.some(({ id }) => id === run.id)).toBe(false)
    for (const { orderLineId } of takers) {
      const own = after.plan.deliveries.filter((each) => each.orderLineId === orderLineId)
      expect(own.flatMap(({ from }) => from.map(({ stockLotId }) => stockLotId))).toContain(lotId)
    }
    await holds()
  })
})

describe('a dispatch', () => {
  test('for a reservation, or for what was cancelled, is refused: no order has the line', async () => {
    const lot = await client.stockLot.findFirstOrThrow({ where: { distributorId, quantity: { gt: 2 } } })
    const pack = { id: encodeGlobalId('Pack', lot.packId) }
    const route = await client.route.findFirstOrThrow({ where: { distributorId, siteId: lot.siteId } })
    const { accountId } = await client.accountRoute.findFirstOrThrow({ where: { distributorId, routeId: route.id } })
    const wanted = { account: { id: encodeGlobalId('Account', accountId) }, lines: [{ pack, quantity: 1 }] }
    const { id: reservationId } = await reserveBeer(actor, { ...wanted, accept: 'LATER', serveOn: '2027-03-20' })
    const { id: orderId } = await placeOrder(actor, { ...wanted, accept: 'AS_DEMAND', serveOn: '2027-03-20' })
    await cancelOrder(actor, { order: { id: encodeGlobalId('Order', orderId) } })
    for (const order of [{ reservation: { id: reservationId } }, { id: orderId }]) {
      const { id } = await client.orderLine.findFirstOrThrow({ where: { distributorId, order } })
      const lots = [{ lot: { id: encodeGlobalId('StockLot', lot.id) }, quantity: 1 }]
      const sent = {
        orderLine: { id: encodeGlobalId('OrderLine', id) },
        lots,
        route: { id: encodeGlobalId('Route', route.id) },
      }
      await expect(record({ dispatched: sent })).rejects.toMatchObject({
        issues: [{ path: 'facts[0].dispatched.orderLine', code: 'STATUS_FORBIDS' }],
      })
    }
    await holds()
  })
})
