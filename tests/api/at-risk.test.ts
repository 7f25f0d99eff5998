// Lists of orders at risk: what a sales person asks each morning, and what it may cost however long the records are.
import { afterAll, expect, test } from 'vitest'
import { z } from 'zod'
import { addDays } from '../../src/planner/documents/index.ts'
import { openTestApi } from '../support/api.ts'
import { recordStatements } from '../support/database.ts'
import { processorTime } from '../support/processor-time.ts'

const { ask, data, client, pool, clock, scenario, faults } = await openTestApi({ planned: true })
const distributorId = 'demo'
afterAll(() => pool.query('ANALYZE'))
const { today, accounts, beers } = scenario.problem

const RISKS = `{ orders(filter: { atRisk: true }, first: 50) { edges { node { number
  lines { quantity promisedOn expectedOn atRisk { containers reasons { rule message } } } } } } }`
const PLAIN = RISKS.replace('filter: { atRisk: true }, ', '')

const page = z.object({
  orders: z.object({
    edges: z.array(
      z.object({
        node: z.object({
          number: z.number(),
          lines: z.array(
            z.object({
              expectedOn: z.string().nullable(),
              atRisk: z.object({ reasons: z.array(z.object({ message: z.string() })) }).nullable(),
            }),
          ),
        }),
      }),
    ),
  }),
})
const listed = async (query: string) => page.parse(await data(query, {}, 'sales')).orders.edges.map(({ node }) => node)
test.each([
  ['fifty', 'first: 50'],
  ['a page of the usual size', 'after: null'],
  ['a whole page', 'first: 200'],
])('a sales person may ask for %s of the orders at risk, each with all that a call needs', async (_name, size) => {
  const { errors } = await ask(
    `query {
      orders(filter: { atRisk: true }, ${size}) { totalCount pageInfo { hasNextPage endCursor } edges { node {
        id number externalRef status note account { name externalRef }
        lines { lineNumber externalRef quantity serveOn latestServeOn promisedOn expectedOn pack { name externalRef }
          atRisk { containers reasons { rule message from to resource { kind id } relief { what amount unit by } } } } } } } }`,
    {},
    'sales',
  )
  expect(errors).toBeUndefined()
})

/** Placed and cancelled orders, and past plans that say something of every line, as long use leaves them. */
async function growOld(orders: number, plans: number): Promise<void> {
  const inForce = await client.plan.findFirstOrThrow({ where: { distributorId, status: 'IN_FORCE' } })
  const source = await client.deliverySource.findFirstOrThrow({
    where: { distributorId, planId: inForce.id, stockLotId: { not: null } },
  })
  const delivery = await client.delivery.findFirstOrThrow({
    where: { distributorId, planId: inForce.id, n: source.deliveryN },
  })
  const ids = Array.from({ length: orders }, (_, index) => `old-${index}`)
  const packId = beers[0]?.packs[0]?.id ?? ''
  const accountId = accounts[0]?.id ?? ''
  const serveOn = new Date(addDays(today, 5))
  const cancelled = { status: 'CANCELLED' as const }
  await client.order.createMany({
    data: ids.map((id, index) => ({
      ...{ distributorId, id, number: 100_000 + index, accountId, ...cancelled },
      placedAt: clock.now(),
      cancelledAt: clock.now(),
    })),
  })
  await client.orderLine.createMany({
    data: ids.map((id) => ({
      ...{ distributorId, id, orderId: id, lineNumber: 1, packId, quantity: 1, serveOn, ...cancelled },
    })),
  })
  for (let plan = 0; plan < plans; plan += 1) {
    const id = `past-${plan}`
    const { fromRevision, today: from, horizonDays, frozenDays, seed, costTotal, steps } = inForce
    await client.plan.create({
      data: {
        ...{ distributorId, id, status: 'PAST', fromRevision, today: from, horizonDays, frozenDays, seed, costTotal },
        ...{ steps, costs: {}, costTerms: {} },
        ...{ createdAt: clock.now(), solvedAt: clock.now(), adoptedAt: clock.now(), replacedAt: clock.now() },
      },
    })
    await client.$transaction([
      client.delivery.createMany({
        data: ids.map((orderLineId, index) => ({ ...delivery, planId: id, n: index + 1, orderLineId, serveOn })),
      }),
      client.deliverySource.createMany({
        data: ids.map((_, index) => ({ ...source, planId: id, deliveryN: index + 1 })),
      }),
    ])
    await client.planVerdict.createMany({
      data: ids.map((orderLineId) => ({ distributorId, planId: id, kind: 'LATE' as const, orderLineId, reasons: [] })),
    })
  }
}

/** Has the database know of its tables what it knows in a process that began with empty ones: that they are tiny. */
async function forgetSizes(): Promise<void> {
  await pool.query('DELETE FROM pg_statistic')
  await pool.query(
    `UPDATE pg_class SET relpages = 1, reltuples = 1 WHERE relnamespace = 'public'::regnamespace AND relkind = 'r'`,
  )
}

/** Half of the times that a query takes, in milliseconds of the processor. */
async function median(query: string): Promise<number> {
  const times: number[] = []
  for (let run = 0; run < 9; run += 1) times.push((await processorTime(() => listed(query))).took)
  return times.sort((a, b) => a - b)[4] ?? 0
}

test('a list at risk takes no longer than the plain list, and no more statements, once the records are old, also in a process that began with empty tables', async () => {
  const young = await recordStatements(() => listed(RISKS))
  await growOld(300, 12)
  await forgetSizes()
  const old = await recordStatements(() => listed(RISKS))
  expect(old.result).toEqual(young.result)
  expect(old.result.length).toBeGreaterThan(0)
  expect(old.statements.length).toBe(young.statements.length)
  expect(old.statements.length).toBeLessThanOrEqual(20)
  // 12 past plans say something of each line: what they say must not be read.
  expect(await median(RISKS)).toBeLessThan(10 + 3 * (await median(PLAIN)))
})

test('a list not at risk has all other orders', async () => {
  const count = z.object({ orders: z.object({ totalCount: z.number() }) })
  const counted = async (filter: string) =>
    count.parse(await data(`{ orders(filter: ${filter}) { totalCount } }`, {}, 'sales')).orders.totalCount
  expect((await counted('{ atRisk: true }')) + (await counted('{ atRisk: false }'))).toBe(await counted('{}'))
})

test('what a late batch puts at risk stays in view when a reservation runs out beside it', async () => {
  const RESERVE = `mutation ($input: ReserveBeerInput!) { reserveBeer(input: $input) { __typename } }`
  const account = { externalRef: scenario.names.accounts?.[accounts[0]?.id ?? '']?.externalRef ?? '' }
  const lines = [{ pack: { externalRef: 'MAR-KEG50' }, quantity: 1 }]
  const input = { account, serveOn: addDays(today, 10), lines, accept: 'LATER', minutes: 5 }
  expect(await data(RESERVE, { input }, 'sales')).toMatchObject({ reserveBeer: { __typename: 'ReservationPayload' } })
  const before = await listed(RISKS)
  await client.batch.updateMany({ where: { distributorId }, data: { quarantined: true } })
  // As any change of a fact: the records are at another revision.
  await client.distributor.update({ where: { id: distributorId }, data: { revision: { increment: 1 } } })
  const kept = await listed(RISKS)
  expect(kept.length).toBeGreaterThan(before.length)
  clock.set(new Date(clock.now().getTime() + 10 * 60_000).toISOString())
  expect((await listed(RISKS)).map(({ number }) => number)).toEqual(kept.map(({ number }) => number))
  expect(faults).toEqual([])
})
