// What must be true of the records when all buyers have their answers, whatever happened meanwhile.
import { expect } from 'vitest'
import { IN_STOCK, LAST_CASKS } from '../../seeds/last-casks.ts'
import { dayOf } from '../../src/database/calendar-day.ts'
import type { PrismaClient } from '../../src/database/client.ts'
import type { LocalDate } from '../../src/planner/documents/index.ts'
import { checkPlan, parseProblem } from '../../src/planner/index.ts'
import { loadProblem } from '../../src/records/load-problem.ts'
import type { Outcome } from './buyers.ts'

/** Holds the records of a distributor to what its buyers were answered, and to the rules. */
export async function expectTruth(
  client: PrismaClient,
  distributorId: string,
  { today, now, serveOn, outcomes }: { today: LocalDate; now: Date; serveOn: LocalDate; outcomes: Outcome[] },
): Promise<void> {
  const { problem } = await client.$transaction((tx) => loadProblem(tx, distributorId, { today, at: now }))
  const plan = problem.baseline
  if (!plan) throw new Error('no plan is in force')
  expect(parseProblem(JSON.parse(JSON.stringify(problem)))).toMatchObject({ ok: true })
  expect(checkPlan(problem, plan).violations).toEqual([])

  // A buyer who got a yes is there once; one who got a no is not there.
  const where = { distributorId }
  const orders = await client.order.findMany({ where, include: { lines: true, reservation: true } })
  const there = orders.map(({ externalRef, reservation }) => externalRef ?? reservation?.externalRef ?? '?')
  expect(there.sort()).toEqual(
    outcomes
      .filter(({ has }) => has)
      .map(({ reference }) => reference)
      .sort(),
  )
  expect(outcomes.filter(({ has, reasons }) => !has && reasons.length < 2)).toEqual([])

  // No half order: each has its line, each line its promised day, and the plan delivers all of it by then.
  const delivered = new Map<string, { quantity: number; last: LocalDate }>()
  for (const { orderLineId, serveOn, from } of plan.deliveries) {
    const each = delivered.get(orderLineId) ?? { quantity: 0, last: '' }
    each.quantity += from.reduce((sum, { quantity }) => sum + quantity, 0)
    if (serveOn > each.last) each.last = serveOn
    delivered.set(orderLineId, each)
  }
  for (const order of orders) {
    expect(order.lines).toHaveLength(1)
    expect(order.status).toBe(order.reservation?.status === 'ACTIVE' ? 'RESERVED' : 'OPEN')
    for (const line of order.lines) {
      expect(line.status).toBe(order.status)
      const { quantity, last } = delivered.get(line.id) ?? { quantity: 0, last: '?' }
      expect(quantity).toBe(1)
      expect(line.promisedOn && last <= dayOf(line.promisedOn)).toBe(true)
    }
  }
  // Nor anything in the plan of an order that is not.
  const lines = new Set(orders.flatMap((order) => order.lines.map(({ id }) => id)))
  expect([...delivered.keys()].filter((id) => !lines.has(id))).toEqual([])
  expect(await client.reservation.count({ where: { ...where, order: { lines: { none: {} } } } })).toBe(0)
  expect(await client.delivery.count({ where: { ...where, from: { none: {} } } })).toBe(0)

  // Nothing is sold twice: exactly the last casks go on the day, all that exists is allocated once.
  const onTheDay = orders.filter(({ lines: [line] }) => line?.promisedOn && dayOf(line.promisedOn) <= serveOn)
  expect(onTheDay).toHaveLength(LAST_CASKS)
  const taken = (isIt: (source: { stockLotId?: string; fillRunId?: string }) => boolean) =>
    plan.deliveries
      .flatMap(({ from }) => from)
      .filter(isIt)
      .reduce((sum, { quantity }) => sum + quantity, 0)
  const runs = plan.fillRuns.filter(({ batchId }) => batchId === 'BATCH')
  const runIds = new Set(runs.map(({ id }) => id))
  expect(taken(({ stockLotId }) => stockLotId === 'STOCK')).toBe(IN_STOCK)
  expect(taken(({ fillRunId }) => fillRunId !== undefined && runIds.has(fillRunId))).toBe(LAST_CASKS - IN_STOCK)
  expect(runs.reduce((sum, { quantity }) => sum + quantity, 0)).toBe(LAST_CASKS - IN_STOCK)

  // The change log has no gaps.
  const { revision } = await client.distributor.findUniqueOrThrow({ where: { id: distributorId } })
  const entries = await client.changeLogEntry.findMany({ where, orderBy: [{ revision: 'asc' }, { n: 'asc' }] })
  expect([...new Set(entries.map((entry) => entry.revision))]).toEqual(
    Array.from({ length: revision }, (_, index) => index + 1),
  )
}
