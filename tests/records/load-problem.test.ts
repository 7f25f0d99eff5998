// What of the records reaches the planner: what is retired, closed or empty does not, unless something still needs it.
import { beforeEach, expect, test } from 'vitest'
import { demoScenario } from '../../seeds/demo.ts'
import { sizedProblem } from '../../seeds/sized-problem.ts'
import { dateOf } from '../../src/database/calendar-day.ts'
import type { Problem } from '../../src/planner/documents/index.ts'
import { parseProblem } from '../../src/planner/index.ts'
import { loadProblem } from '../../src/records/load-problem.ts'
import { saveSetup } from '../../src/records/save-setup.ts'
import { emptyDatabase, openTestDatabase, recordStatements } from '../support/database.ts'

const { client, pool, clock } = await openTestDatabase()
const TODAY = '2027-03-01'
const scenario = demoScenario(TODAY)
const retired = { retiredAt: new Date('2027-02-01T00:00:00Z') }

beforeEach(async () => {
  await emptyDatabase(pool)
  await client.$transaction((tx) => saveSetup(tx, 'd', scenario, clock.now()))
})

async function load(): Promise<Problem> {
  const { problem } = await loadProblem(client, 'd', { today: TODAY, at: clock.now() })
  expect(parseProblem(JSON.parse(JSON.stringify(problem)))).toMatchObject({ ok: true })
  return problem
}

const key = (id: string) => ({ where: { distributorId_id: { distributorId: 'd', id } } })
const idsOf = (list: readonly { id: string }[]) => list.map(({ id }) => id)
const holding = new Set(scenario.problem.batches.map(({ vesselId }) => vesselId))

test('a retired vessel that stands empty is gone; one that holds beer takes nothing new', async () => {
  const empty = scenario.problem.vessels.find(({ id }) => !holding.has(id))!
  const full = scenario.problem.vessels.find(({ id }) => holding.has(id))!
  for (const { id } of [empty, full]) await client.vessel.update({ ...key(id), data: retired })
  const { vessels, horizonDays } = await load()
  expect(idsOf(vessels)).not.toContain(empty.id)
  const lastDay = new Date(Date.parse(TODAY) + (horizonDays - 1) * 86_400_000).toISOString().slice(0, 10)
  expect(vessels.find(({ id }) => id === full.id)?.outOfService).toEqual([{ from: TODAY, to: lastDay }])
})

test('a retired beer of which nothing is left or wanted is gone; else it may be sold but not brewed', async () => {
  const [beer] = scenario.problem.beers
  const packs = idsOf(beer!.packs)
  await client.beer.update({ ...key(beer!.id), data: retired })
  await client.pack.updateMany({ where: { id: { in: packs } }, data: retired })
  expect((await load()).beers.find(({ id }) => id === beer!.id)?.vesselIds).toEqual([])
  await client.orderLine.updateMany({ where: { packId: { in: packs } }, data: { status: 'CANCELLED' } })
  await client.stockLot.updateMany({ where: { packId: { in: packs } }, data: { quantity: 0 } })
  await client.batch.updateMany({ where: { beerId: beer!.id }, data: { emptiedOn: dateOf(TODAY), litres: 0 } })
  expect(idsOf((await load()).beers)).not.toContain(beer!.id)
})

test('a retired pack stays while an open line or a lot is of it, and goes after', async () => {
  const line = scenario.problem.orderLines[0]!
  await client.pack.update({ ...key(line.packId), data: retired })
  const packIds = async () => idsOf((await load()).beers.flatMap(({ packs }) => packs))
  expect(await packIds()).toContain(line.packId)
  await client.orderLine.updateMany({ where: { packId: line.packId }, data: { status: 'DELIVERED' } })
  await client.stockLot.updateMany({ where: { packId: line.packId }, data: { quantity: 0 } })
  expect(await packIds()).not.toContain(line.packId)
})

test('retired routes, fillers, fleets and stores are gone, and accounts no longer name the routes', async () => {
  const [route] = scenario.problem.routes
  const [filler] = scenario.problem.fillers
  await client.route.update({ ...key(route!.id), data: retired })
  await client.filler.update({ ...key(filler!.id), data: retired })
  await client.fleet.updateMany({ data: retired })
  await client.store.updateMany({ data: retired })
  const problem = await load()
  expect(idsOf(problem.routes)).not.toContain(route!.id)
  expect(problem.accounts.flatMap(({ routeIds }) => routeIds)).not.toContain(route!.id)
  expect(idsOf(problem.fillers)).not.toContain(filler!.id)
  expect([problem.fleets, problem.stores]).toEqual([[], []])
})

test('a retired account stays while it has open lines', async () => {
  const { accountId } = scenario.problem.orderLines[0]!
  await client.account.update({ ...key(accountId), data: retired })
  expect(idsOf((await load()).accounts)).toContain(accountId)
  await client.order.updateMany({ where: { accountId }, data: { status: 'CANCELLED', cancelledAt: clock.now() } })
  expect(idsOf((await load()).accounts)).not.toContain(accountId)
})

test('a retired site brews no more, and goes with the last beer that stands there', async () => {
  const [site] = scenario.problem.sites
  const siteId = site!.id
  await client.site.update({ ...key(siteId), data: retired })
  expect((await load()).sites.find(({ id }) => id === siteId)?.brewsPerDay).toBe(0)
  await client.stockLot.updateMany({ where: { siteId }, data: { quantity: 0 } })
  await client.batch.updateMany({ where: { siteId }, data: { emptiedOn: dateOf(TODAY) } })
  const problem = await load()
  expect(idsOf(problem.sites)).not.toContain(siteId)
  for (const list of [problem.vessels, problem.fillers, problem.fleets, problem.stores, problem.routes])
    expect(list.filter((thing) => thing.siteId === siteId)).toEqual([])
})

test('lines that are closed, or whose order is, are gone', async () => {
  const [first, second] = scenario.problem.orderLines
  await client.orderLine.update({ ...key(first!.id), data: { status: 'CANCELLED' } })
  await client.order.update({ ...key(second!.orderId), data: { status: 'CANCELLED', cancelledAt: clock.now() } })
  const lines = idsOf((await load()).orderLines)
  expect(lines).not.toContain(first!.id)
  expect(lines).not.toContain(second!.id)
  expect(lines.length).toBeGreaterThan(10)
})

test('a lot is quarantined where its row says so', async () => {
  const [lot] = scenario.problem.stock
  await client.stockLot.update({ ...key(lot!.id), data: { quarantined: true } })
  const quarantined = async () => idsOf((await load()).stock.filter((each) => each.quarantined))
  expect(await quarantined()).toEqual([lot!.id])
  await client.stockLot.update({ ...key(lot!.id), data: { quarantined: false } })
  expect(await quarantined()).toEqual([])
})

test('a line asks for what has neither left nor been closed short, and for nothing once that is all of it', async () => {
  const line = scenario.problem.orderLines.find(({ quantity }) => quantity > 2)!
  const asked = async () => (await load()).orderLines.find(({ id }) => id === line.id)?.quantity
  await client.orderLine.update({ ...key(line.id), data: { dispatched: 1, closedShort: 1 } })
  expect(await asked()).toBe(line.quantity - 2)
  await client.orderLine.update({ ...key(line.id), data: { closedShort: line.quantity - 1 } })
  expect(await asked()).toBeUndefined()
})

test('options replace what the distributor has: horizon, frozen days and single prices', async () => {
  await client.distributor.update({ where: { id: 'd' }, data: { costs: { brew: 50, drop: 1 }, revision: 7 } })
  const { problem, revision } = await loadProblem(client, 'd', {
    at: clock.now(),
    today: '2027-03-02',
    horizonDays: 10,
    frozenDays: 3,
    costs: { drop: 2 },
  })
  expect(problem).toMatchObject({ today: '2027-03-02', horizonDays: 10, frozenDays: 3, costs: { brew: 50, drop: 2 } })
  expect(revision).toBe(7)
})

test('a distributor that does not exist is not found', async () => {
  await expect(loadProblem(client, 'no-such-distributor', { today: TODAY, at: clock.now() })).rejects.toMatchObject({
    code: 'NO_SUCH_THING',
  })
})

test('a large problem takes as many queries as a small one', async () => {
  const statementsFor = async (id: string, lines: number) => {
    const problem = sizedProblem({ lines, vessels: 8, days: 40, seed: 1, today: TODAY })
    const large = { distributor: { name: id, timeZone: 'UTC' }, problem, names: {} }
    await client.$transaction((tx) => saveSetup(tx, id, large, clock.now()))
    return (await recordStatements(() => loadProblem(client, id, { today: TODAY, at: clock.now() }))).statements.length
  }
  const small = await statementsFor('small', 20)
  expect(small).toBeLessThan(36)
  expect(await statementsFor('large', 1000)).toBe(small)
})
