// What must hold of the records afterwards, read from the rows.
import { expect } from 'vitest'
import { systemClock } from '../../src/clock.ts'
import type { PrismaClient } from '../../src/database/client.ts'
import { checkPlan, parseProblem } from '../../src/planner/index.ts'
import { loadProblem } from '../../src/records/load-problem.ts'
import type { Outcome } from './customers.ts'
import { CASKS } from './last-casks.ts'

/**
 * Every acknowledged order or reservation is there once and whole, nothing is there that nobody was told of, the plan in
 * force passes the checker, and what it takes from the lot is what the lot has. `wanted` is the day before which no other
 * beer can be had; answers how many casks go by it.
 */
export async function judge(
  client: PrismaClient,
  distributorId: string,
  today: string,
  wanted: string,
  outcomes: readonly Outcome[],
): Promise<{ sold: number; taken: number }> {
  const { problem } = await client.$transaction(
    (tx) => loadProblem(tx, distributorId, { today, at: systemClock.now() }),
    {
      isolationLevel: 'RepeatableRead',
    },
  )
  const plan = problem.baseline
  if (!plan) throw new Error('no plan is in force')
  expect(parseProblem(JSON.parse(JSON.stringify(problem)))).toMatchObject({ ok: true })
  expect(checkPlan(problem, plan).violations).toEqual([])

  const orders = await client.order.findMany({ where: { distributorId }, include: { lines: true, reservation: true } })
  const known = new Set(outcomes.filter(({ done }) => done).map(({ ref }) => ref))
  const there = orders.map(({ status, externalRef, reservation }) =>
    status === 'OPEN' ? externalRef : (reservation?.externalRef ?? null),
  )
  expect(there.filter((ref) => ref === null)).toEqual([])
  expect([...there].sort()).toEqual([...known].sort())

  const served = new Map<string, number>()
  for (const { orderLineId, from } of plan.deliveries)
    for (const { quantity } of from) served.set(orderLineId, (served.get(orderLineId) ?? 0) + quantity)
  const lines = orders.flatMap((order) => {
    expect(order.lines).toHaveLength(1)
    if (order.status === 'RESERVED') expect(order.reservation?.status).toBe('ACTIVE')
    return order.lines.map((line) => ({ ...line, orderStatus: order.status }))
  })
  for (const line of lines) {
    expect(line.status).toBe(line.orderStatus)
    expect(line.promisedOn).not.toBeNull()
    expect(served.get(line.id)).toBe(line.quantity)
  }
  expect(served.size).toBe(lines.length)
  const taken = plan.deliveries
    .flatMap(({ from }) => from)
    .filter(({ stockLotId }) => stockLotId !== undefined)
    .reduce((sum, { quantity }) => sum + quantity, 0)
  expect(taken).toBeLessThanOrEqual(CASKS)
  const sold = lines.filter(({ promisedOn }) => promisedOn && promisedOn.toISOString().slice(0, 10) <= wanted).length
  return { sold, taken }
}
