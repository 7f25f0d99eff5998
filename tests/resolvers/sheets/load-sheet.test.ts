// The load sheet and the removals report against the plan, the facts that answer them, and 27 CFR 25.156.
import { afterEach, expect, test } from 'vitest'
import { addDays } from '../../../src/planner/documents/index.ts'
import { recordFacts } from '../../../src/resolvers/floor/record-facts.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { changeContainerType } from '../../../src/resolvers/setup/container-type.ts'
import { readLoadSheet } from '../../../src/resolvers/sheets/load-sheet.ts'
import { readRemovals } from '../../../src/resolvers/sheets/removals.ts'
import { readToday } from '../../../src/resolvers/sheets/today.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, actor, stored, expectValid } = await openPlannedDemo()
const { distributorId } = actor
const refOf = (kind: string, id: string) => ({ id: encodeGlobalId(kind, id) })
const sheetOf = (routeId: string, day: string) => readLoadSheet(actor, { route: refOf('Route', routeId), day })
const record = (facts: object[]) => recordFacts(actor, { facts }, 'the drayman')

afterEach(expectValid)

test('the sheet has everything that the plan sends on the day and route, once, and its litres are those of the route', async () => {
  const { plan, problem } = await stored()
  for (const routeId of problem.routes.map(({ id }) => id))
    for (const day of [problem.today, addDays(problem.today, 1), addDays(problem.today, 3)]) {
      const planned = plan.deliveries.filter((each) => each.routeId === routeId && each.dispatchOn === day)
      const { drops, litres } = await sheetOf(routeId, day)
      const lines = drops.flatMap((drop) => drop.lines)
      const sent = planned.map(({ orderLineId, from }) => [
        orderLineId,
        from.reduce((sum, { quantity }) => sum + quantity, 0),
      ])
      expect(lines.map(({ orderLineId, quantity }) => [orderLineId, quantity]).sort()).toEqual(sent.sort())
      expect(litres).toBeCloseTo(
        drops.reduce((sum, drop) => sum + drop.litres, 0),
        6,
      )
      for (const { quantity, lots, bestBefore } of lines.map((line) => ({
        ...line,
        bestBefore: line.lots[0]?.bestBefore,
      }))) {
        expect(lots.reduce((sum, lot) => sum + lot.quantity, 0)).toBe(quantity)
        expect(lots.every(({ code }) => code !== '')).toBe(true)
        expect(bestBefore ?? '').toMatch(/^\d{4}-\d\d-\d\d$/)
      }
    }
})

test('drops stand in the order of the route', async () => {
  const { problem } = await stored()
  const places = await client.accountRoute.findMany({
    where: { distributorId, routeId: 'town-dray', position: { not: null } },
    orderBy: { position: 'asc' },
  })
  const order = places.map(({ accountId }) => accountId)
  const { drops } = await sheetOf('town-dray', addDays(problem.today, 3))
  const ids = drops.map(({ account }) => account.id).filter((id) => order.includes(id))
  expect(ids.length).toBeGreaterThan(1)
  expect(ids).toEqual(order.filter((id) => ids.includes(id)))
})

test('a day on which nothing leaves names the next day on which something does, on that route', async () => {
  const { plan, problem } = await stored()
  for (const { id } of problem.routes) {
    const first = plan.deliveries.flatMap(({ routeId, dispatchOn }) => (routeId === id ? dispatchOn : [])).sort()[0]
    if (first === undefined) continue
    expect(await sheetOf(id, addDays(first, -1))).toMatchObject({ drops: [], nextDay: first })
    expect((await sheetOf(id, first)).nextDay).toBeUndefined()
  }
})

test('a container without a tare is named, and its load has no weight', async () => {
  const { problem } = await stored()
  const day = addDays(problem.today, 3)
  expect((await sheetOf('town-dray', day)).weight.kg).toBeGreaterThan(100)
  await changeContainerType(actor, { containerType: refOf('ContainerType', 'firkin'), tareKg: null })
  expect((await sheetOf('town-dray', day)).weight).toEqual({ missing: ['Firkin'] })
  await changeContainerType(actor, { containerType: refOf('ContainerType', 'firkin'), tareKg: 10.5 })
})

test('what is said to have left stands on the sheet as said, in the report of the day, and on the page of the day as done', async () => {
  const { plan, problem } = await stored()
  const day = problem.today
  const leaving = plan.deliveries.filter(
    ({ dispatchOn, from }) => dispatchOn === day && from.every(({ stockLotId }) => stockLotId !== undefined),
  )
  const [first] = leaving
  if (!first) throw new Error('something leaves today from stock')
  const before = await readRemovals(actor, { from: day })
  expect(before.lines).toEqual([])
  const quantity = first.from.reduce((sum, each) => sum + each.quantity, 0)
  await record([{ dispatched: { orderLine: refOf('OrderLine', first.orderLineId) } }])

  const { drops } = await sheetOf(first.routeId, day)
  const line = drops.flatMap((drop) => drop.lines).find(({ orderLineId }) => orderLineId === first.orderLineId)
  expect(line).toMatchObject({ isSaid: true, quantity })
  const after = await readRemovals(actor, { from: day })
  expect(after.lines).toMatchObject([{ kind: 'DISPATCHED', isAssumed: false, quantity }])
  const siteId = problem.routes.find(({ id }) => id === first.routeId)?.siteId ?? ''
  const due = await readToday(actor, { site: refOf('Site', siteId) })
  expect(due.work.filter(({ kind, done }) => kind === 'LOAD' && done)).toMatchObject([
    { routeId: first.routeId, quantity },
  ])
})

test('a report sums barrels as 27 CFR 25.156 asks, and what comes back stands on a line of its own', async () => {
  const { problem } = await stored()
  const day = problem.today
  const fact = await client.fact.findFirstOrThrow({ where: { distributorId, kind: 'DISPATCHED' } })
  const { orderLineId } = Object(fact.data)
  await record([{ refused: { orderLine: refOf('OrderLine', orderLineId), quantity: 1, fit: true, again: true } }])
  const { lines, totals } = await readRemovals(actor, { from: day })
  expect(lines.filter(({ kind }) => kind === 'RETURNED')).toMatchObject([{ quantity: 1 }])
  // 27 CFR 25.156: the equivalent of a container to five decimals, a US beer barrel is 117.347765304 L.
  for (const { barrels, litresEach, quantity } of lines)
    expect(barrels).toBeCloseTo(quantity * Number((litresEach / 117.347765304).toFixed(5)), 9)
  for (const { kind, barrels } of totals) {
    const sum = lines.filter((line) => line.kind === kind).reduce((total, line) => total + line.barrels, 0)
    expect(barrels).toBeCloseTo(Number(sum.toFixed(2)), 9)
  }
})

test('a report of days that are all in a closed period says that it changes no more', async () => {
  const { problem } = await stored()
  const [before, last] = [addDays(problem.today, -3), addDays(problem.today, -2)]
  await client.distributor.update({ where: { id: distributorId }, data: { closedThrough: new Date(before) } })
  const isClosed = async (from: string, to: string) => (await readRemovals(actor, { from, to })).isClosed
  expect([await isClosed(addDays(before, -1), before), await isClosed(before, last)]).toEqual([true, false])
  await client.distributor.update({ where: { id: distributorId }, data: { closedThrough: null } })
})

test.each([
  ['ends before it begins', { from: '2027-03-02', to: '2027-03-01' }],
  ['is longer than 400 days', { from: '2027-03-01', to: '2028-04-05' }],
])('a report that %s is refused by its last day', async (_what, span) => {
  await expect(readRemovals(actor, span)).rejects.toMatchObject({ issues: [{ path: 'to', code: 'OUT_OF_RANGE' }] })
})
