// Orders in the plan in force: placed, promised, amended and cancelled. Every plan that comes of it passes the checker,
// and what memory has of it is what the rows say.
import { expect, test } from 'vitest'
import type { Plan } from '../../../src/planner/documents/index.ts'
import { addDays } from '../../../src/planner/documents/index.ts'
import { checkPlan } from '../../../src/planner/index.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { amendOrder } from '../../../src/resolvers/orders/amend-order.ts'
import { cancelOrder } from '../../../src/resolvers/orders/cancel-order.ts'
import { placeOrder } from '../../../src/resolvers/orders/place-order.ts'
import { promise } from '../../../src/resolvers/promise/promise.ts'
import { retirePack } from '../../../src/resolvers/setup/pack.ts'
import { canonicalPlan, canonicalProblem } from '../../support/canonical.ts'
import { recordStatements } from '../../support/database.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, clock, actor, scenario, stored, expectValid } = await openPlannedDemo()
const { distributorId } = actor
const { today } = scenario.problem

/** An account of the first site, a pack that is in stock there, and one that must be brewed first. */
const account = { id: encodeGlobalId('Account', scenario.problem.accounts[0]?.id ?? '') }
const packRef = (externalRef: string) => ({ externalRef })
const IN_STOCK = packRef('MAR-KEG50')
const TO_BREW = packRef('BLO-FIRKIN')
const soon = addDays(today, 10)
const orderRef = ({ id }: { id: string }) => ({ id: encodeGlobalId('Order', id) })
const lineRef = ({ id }: { id: string }) => ({ id: encodeGlobalId('OrderLine', id) })

const linesOf = ({ id }: { id: string }) =>
  client.orderLine.findMany({ where: { distributorId, orderId: id }, orderBy: { lineNumber: 'asc' } })

const served = (plan: Plan, lineId: string) =>
  plan.deliveries
    .filter(({ orderLineId }) => orderLineId === lineId)
    .flatMap(({ from }) => from)
    .reduce((sum, { quantity }) => sum + quantity, 0)

/** The plan in force is valid, and the snapshot in memory is what the rows say. */
async function expectTrue() {
  const { problem, plan, ...version } = await expectValid()
  expect(checkPlan(problem, plan).violations).toEqual([])
  const kept = await actor.snapshots.current(client, distributorId, version, { today, at: clock.now() })
  const plain = (value: unknown): unknown => JSON.parse(JSON.stringify(value))
  const bare = (each: typeof problem) => plain(canonicalProblem({ ...each, baseline: undefined }))
  expect(bare(kept.problem)).toEqual(bare(problem))
  const unordered = (each: Plan) => ({
    ...canonicalPlan(each),
    deliveries: each.deliveries.map((delivery) => JSON.stringify(delivery)).sort(),
    dumped: each.dumped.map((dump) => JSON.stringify(dump)).sort(),
  })
  expect(kept.inForce && unordered(kept.inForce.plan)).toEqual(unordered(plan))
  return { problem, plan }
}

test('a promise is what placing the order then gives, and asking writes nothing and takes milliseconds', async () => {
  const asked = { account, serveOn: soon, lines: [{ pack: IN_STOCK, quantity: 2 }] }
  const before = await stored()
  const answer = await promise(actor, asked)
  expect(answer).toMatchObject({ allOnTime: true, earliestServeOn: soon, revision: before.revision })
  expect(answer.lines[0]?.deliveries.flatMap(({ sources }) => sources)).toMatchObject([{ kind: 'STOCK', quantity: 2 }])
  const { statements } = await recordStatements(() => promise(actor, asked))
  expect(statements.filter((statement) => !/^\s*SELECT/i.test(statement))).toEqual([])
  expect(statements.length).toBeLessThan(8)
  expect((await stored()).revision).toBe(before.revision)

  const order = await placeOrder(actor, { ...asked, accept: 'ON_TIME_ONLY' })
  const [line] = await linesOf(order)
  const { plan } = await expectTrue()
  expect(line?.promisedOn?.toISOString().slice(0, 10)).toBe(soon)
  expect(served(plan, line?.id ?? '')).toBe(2)
  expect(plan.deliveries.find(({ orderLineId }) => orderLineId === line?.id)?.serveOn).toBe(soon)
})

test('an order that cannot be on time is refused with what binds, and nothing is written', async () => {
  const before = await stored()
  const asked = { account, serveOn: addDays(today, 3), lines: [{ pack: TO_BREW, quantity: 3 }] }
  const refused = placeOrder(actor, { ...asked, accept: 'ON_TIME_ONLY' })
  await expect(refused).rejects.toMatchObject({
    code: 'NO_PLAN_FITS',
    short: [{ quantity: 3, earliestOn: expect.stringMatching(/^2027-/) }],
  })
  await expect(refused).rejects.toHaveProperty('reasons.0.rule')
  expect(await stored()).toEqual(before)
})

test('LATER promises the earliest later day: no day before it can be had, and the plan keeps it', async () => {
  const asked = { account, serveOn: addDays(today, 3), lines: [{ pack: TO_BREW, quantity: 3 }] }
  const { earliestServeOn, allOnTime } = await promise(actor, asked)
  expect(allOnTime).toBe(false)
  const dayBefore = addDays(earliestServeOn ?? today, -1)
  const tooEarly = { account, lines: asked.lines, accept: 'ON_TIME_ONLY', serveOn: dayBefore }
  await expect(placeOrder(actor, tooEarly)).rejects.toMatchObject({ code: 'NO_PLAN_FITS' })
  const order = await placeOrder(actor, { ...asked, accept: 'LATER' })
  const [line] = await linesOf(order)
  expect(line?.promisedOn?.toISOString().slice(0, 10)).toBe(earliestServeOn)
  const { plan } = await expectTrue()
  expect(served(plan, line?.id ?? '')).toBe(3)
  expect(plan.brokenPromises?.some(({ orderLineId }) => orderLineId === line?.id)).toBe(false)
})

test('a wish is promised nothing, and is taken even where it cannot be served', async () => {
  const asked = { account, serveOn: soon, lines: [{ pack: TO_BREW, quantity: 900 }], accept: 'AS_DEMAND' }
  const order = await placeOrder(actor, asked)
  const [line] = await linesOf(order)
  expect(line?.promisedOn).toBeNull()
  const { plan } = await expectTrue()
  expect(plan.unserved.find(({ orderLineId }) => orderLineId === line?.id)?.reasons.length).toBeGreaterThan(0)
})

test('nothing that is promised to others moves when an order comes', async () => {
  const before = await stored()
  const others = new Map(before.plan.deliveries.map((delivery) => [delivery.orderLineId, delivery]))
  const asked = { account, serveOn: soon, lines: [{ pack: IN_STOCK, quantity: 1 }], accept: 'LATER' }
  await placeOrder(actor, asked)
  const { plan } = await expectTrue()
  for (const [lineId, { dispatchOn, serveOn, routeId }] of others) {
    const now = plan.deliveries.find(({ orderLineId }) => orderLineId === lineId)
    expect(now).toMatchObject({ dispatchOn, serveOn, routeId })
  }
})

test('cancelling frees the beer at once: the next one who asks gets the same', async () => {
  const asked = { account, serveOn: addDays(today, 30), lines: [{ pack: TO_BREW, quantity: 5 }], accept: 'LATER' }
  const before = await stored()
  const first = await placeOrder(actor, asked)
  const taken = await linesOf(first)
  await cancelOrder(actor, { order: orderRef(first) })
  const { problem, plan } = await expectTrue()
  expect(problem.orderLines.some(({ orderId }) => orderId === first.id)).toBe(false)
  expect(plan.deliveries.some(({ orderLineId }) => orderLineId === taken[0]?.id)).toBe(false)
  expect(plan.fillRuns.reduce((sum, { quantity }) => sum + quantity, 0)).toBe(
    before.plan.fillRuns.reduce((sum, { quantity }) => sum + quantity, 0),
  )
  const [again] = await linesOf(await placeOrder(actor, asked))
  expect(again?.promisedOn).toEqual(taken[0]?.promisedOn)
  await expect(cancelOrder(actor, { order: orderRef(first) })).rejects.toMatchObject({ code: 'STATUS_FORBIDS' })
})

test('amending changes, adds and withdraws lines in one step, or leaves all as it was', async () => {
  const order = await placeOrder(actor, {
    account,
    externalRef: 'AMEND-1',
    serveOn: soon,
    accept: 'LATER',
    lines: [
      { pack: IN_STOCK, quantity: 1, externalRef: 'AMEND-1/1' },
      { pack: TO_BREW, quantity: 2 },
    ],
  })
  const [first, second] = await linesOf(order)
  if (!first || !second) throw new Error('the order has two lines')
  const before = await stored()
  const tooMuch = { order: { externalRef: 'AMEND-1' }, accept: 'ON_TIME_ONLY', note: 'more' }
  const changeLines = [{ line: { externalRef: 'AMEND-1/1' }, quantity: 5000 }]
  await expect(amendOrder(actor, { ...tooMuch, changeLines })).rejects.toMatchObject({ code: 'PROMISE_WORSENS' })
  expect(await stored()).toEqual(before)
  expect(await client.order.count({ where: { note: 'more' } })).toBe(0)

  await amendOrder(actor, {
    order: { externalRef: 'AMEND-1' },
    accept: 'LATER',
    note: 'more',
    changeLines: [{ line: { externalRef: 'AMEND-1/1' }, quantity: 2 }],
    cancelLines: [lineRef(second)],
    addLines: [{ pack: TO_BREW, quantity: 1, serveOn: addDays(today, 30) }],
  })
  const lines = await linesOf(order)
  expect(lines.map(({ status, quantity, lineNumber }) => [status, quantity, lineNumber])).toEqual([
    ['OPEN', 2, 1],
    ['CANCELLED', 2, 2],
    ['OPEN', 1, 3],
  ])
  const { plan } = await expectTrue()
  expect(lines.map(({ id }) => served(plan, id))).toEqual([2, 0, 1])
})

test('a line of a pack that was retired since can still be changed, but not ordered anew', async () => {
  const pack = packRef('DEC-KEG50')
  const lines = [{ pack, quantity: 3, externalRef: 'RETIRING/1' }]
  await placeOrder(actor, { account, externalRef: 'RETIRING', serveOn: soon, accept: 'AS_DEMAND', lines })
  await retirePack(actor, { pack })
  const changeLines = [{ line: { externalRef: 'RETIRING/1' }, quantity: 1 }]
  const order = await amendOrder(actor, { order: { externalRef: 'RETIRING' }, accept: 'AS_DEMAND', changeLines })
  expect((await linesOf(order))[0]?.quantity).toBe(1)
  const anew = amendOrder(actor, {
    order: { externalRef: 'RETIRING' },
    accept: 'AS_DEMAND',
    addLines: [{ pack, quantity: 1, serveOn: soon }],
  })
  await expect(anew).rejects.toMatchObject({ issues: [{ path: 'addLines[0].pack', code: 'RETIRED' }] })
  await expectTrue()
})

test('each change is in the change log with the order before and after, one revision a change', async () => {
  const { revision } = await placeOrder(actor, {
    account,
    serveOn: soon,
    accept: 'AS_DEMAND',
    lines: [{ pack: IN_STOCK, quantity: 1 }],
  })
  const entries = await client.changeLogEntry.findMany({ where: { distributorId, revision } })
  expect(entries).toMatchObject([{ n: 1, kind: 'ORDER_PLACED', entityType: 'Order', before: null }])
  expect(entries[0]?.after).toMatchObject({ status: 'OPEN', lines: [{ quantity: 1, serveOn: soon }] })
})

test('orders that come at the same time are all written, and nothing is sold twice', async () => {
  const asked = { account, serveOn: soon, lines: [{ pack: IN_STOCK, quantity: 1 }], accept: 'LATER' }
  const before = await stored()
  const orders = await Promise.all(Array.from({ length: 5 }, () => placeOrder(actor, asked)))
  expect(new Set(orders.map(({ revision }) => revision))).toEqual(
    new Set([1, 2, 3, 4, 5].map((n) => before.revision + n)),
  )
  await expectTrue()
})

test('the day after, orders come into the plan as before, and it is valid for its new today', async () => {
  clock.set('2027-03-02T09:00:00Z')
  const asked = { account, serveOn: addDays(soon, 5), lines: [{ pack: TO_BREW, quantity: 1 }], accept: 'LATER' }
  const order = await placeOrder(actor, asked)
  const { plan, problem } = await expectValid()
  expect(problem.today).toBe('2027-03-02')
  const [line] = await linesOf(order)
  expect(served(plan, line?.id ?? '')).toBe(1)
  const { today: since } = await client.plan.findFirstOrThrow({ where: { distributorId, status: 'IN_FORCE' } })
  expect(since.toISOString().slice(0, 10)).toBe('2027-03-02')
})
