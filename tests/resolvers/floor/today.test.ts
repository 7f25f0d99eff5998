// What is left of today: facts use it up, and what has ended takes nothing more.
import { beforeEach, expect, test } from 'vitest'
import { deriveFacts, fillerDays } from '../../../src/planner/index.ts'
import { correctFact } from '../../../src/resolvers/floor/correct-fact.ts'
import { isRolled } from '../../../src/resolvers/floor/days-over.ts'
import { recordFacts } from '../../../src/resolvers/floor/record-facts.ts'
import { rollDays } from '../../../src/resolvers/floor/roll-days.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { promise } from '../../../src/resolvers/promise/promise.ts'
import { changeSite } from '../../../src/resolvers/setup/site.ts'
import { brightVesselBrewery, day, order } from '../../support/one-vessel-brewery.ts'
import { openPlannedBrewery } from '../../support/planned-demo.ts'

/** The brewery of one filler, 480 minutes a day and 5 for each cask, with beer for 100 casks that is ready. */
function brewery() {
  const problem = brightVesselBrewery({
    batches: [{ id: 'gyle', beerId: 'mild', vesselId: 'tank', litres: 4000, readyAt: '2027-06-06T06:00:00Z' }],
    orderLines: [order('a', 30, 2, { promisedOn: day(2) })],
  })
  problem.vessels.forEach((vessel) => {
    vessel.capacityLitres = 5000
  })
  problem.routes[0]!.capacityLitres = 4000
  problem.sites[0]!.transfersPerDay = 2
  return problem
}

let it: Awaited<ReturnType<typeof openPlannedBrewery>>
beforeEach(async () => {
  it = await openPlannedBrewery(brewery())
  await rollDays(it.actor)
})

const site = { id: encodeGlobalId('Site', 'yard') }
const batch = { id: encodeGlobalId('Batch', 'gyle') }
const pack = { id: encodeGlobalId('Pack', 'cask') }
const filler = { id: encodeGlobalId('Filler', 'filler') }
const record = (...facts: object[]) => recordFacts(it.actor, { facts }, 'the cellar')

/** The day on which so many casks more could be served. */
async function servedOn(quantity: number): Promise<string | null | undefined> {
  const account = { id: encodeGlobalId('Account', 'inn') }
  const { lines } = await promise(it.actor, { account, serveOn: day(2), lines: [{ pack, quantity }] })
  return lines[0]?.serveOn
}

/** Minutes that the plan in force fills today. */
async function filledToday(): Promise<number> {
  const { problem, plan } = await it.expectValid()
  return [...fillerDays(deriveFacts(problem, plan))].find((each) => each.day === 0)?.minutes ?? 0
}

test('a fill of three hours leaves the other five, to the plan and to promises', async () => {
  expect(await servedOn(66)).toBe(day(2))
  await record({ filled: { batch, pack, filler, quantity: 36 } })
  const { problem } = await it.expectValid()
  expect(problem.fillers[0]?.minutesOn).toEqual({ [day(0)]: 300 })
  // The line of 30 was filled with it: what is left of the fill and of the day's minutes can be had.
  expect(await servedOn(66)).toBe(day(2))
  expect(await servedOn(67)).toBe(day(3))
})

test('a fill by an unnamed filler takes the minutes of the only one', async () => {
  await record({ filled: { batch, pack, quantity: 10, spoiled: 2 } })
  const { problem } = await it.expectValid()
  expect(problem.fillers[0]?.minutesOn).toEqual({ [day(0)]: 420 })
})

test('a correction gives back what the fact took, and a withdrawal all of it', async () => {
  const { ids } = await record({ filled: { batch, pack, filler, quantity: 36 } })
  const fact = encodeGlobalId('Fact', ids[0] ?? '')
  await correctFact(it.actor, { fact, replace: { filled: { batch, pack, filler, quantity: 12 } } }, 'the cellar')
  expect((await it.expectValid()).problem.fillers[0]?.minutesOn).toEqual({ [day(0)]: 420 })
  await correctFact(it.actor, { fact, withdraw: true }, 'the cellar')
  expect((await it.expectValid()).problem.fillers[0]?.minutesOn).toEqual({})
})

test('what a transfer, a brew and a dispatch took is gone from the day', async () => {
  const orderLine = { id: encodeGlobalId('OrderLine', 'a') }
  const { ids } = await record(
    { filled: { batch, pack, filler, quantity: 30, emptied: false } },
    { transferred: { batch, vessel: { id: encodeGlobalId('Vessel', 'bright') } } },
  )
  const fill = await it.client.fact.findFirstOrThrow({ where: { id: ids[0] ?? '' } })
  const lot = { id: encodeGlobalId('StockLot', String(Object(fill.data).lotId)) }
  const route = { id: encodeGlobalId('Route', 'van') }
  await record(
    { dispatched: { orderLine, route, lots: [{ lot, quantity: 20 }] } },
    {
      brewed: {
        beer: { id: encodeGlobalId('Beer', 'mild') },
        vessel: { id: encodeGlobalId('Vessel', 'tank') },
        litres: 500,
      },
    },
  )
  const { problem } = await it.expectValid()
  expect(problem.sites[0]).toMatchObject({ transfersOn: { [day(0)]: 1 }, brewsOn: { [day(0)]: 2 } })
  expect(problem.routes[0]?.capacityLitresOn).toEqual({ [day(0)]: 3200 })
})

test('once filling is said to be over nothing more is filled that day, and what was not filled moves', async () => {
  expect(await filledToday()).toBeGreaterThan(0)
  await record({ fillingEnded: { site } })
  expect(await filledToday()).toBe(0)
  const { plan } = await it.expectValid()
  expect(plan.unserved).toEqual([])
  expect(await servedOn(1)).toBe(day(3))
})

test('a route that is said to be over leaves no more that day', async () => {
  await record({ filled: { batch, pack, filler, quantity: 40 } })
  it.clock.set(`${day(1)}T09:00:00Z`)
  await rollDays(it.actor)
  await record({ routeEnded: { route: { id: encodeGlobalId('Route', 'van') } } })
  const { plan } = await it.expectValid()
  expect(plan.deliveries.every(({ dispatchOn }) => dispatchOn > day(1))).toBe(true)
})

test('once the day has ended at a site its work has been begun, and the day takes nothing more', async () => {
  await changeSite(it.actor, { site, dayEnds: '17:00' })
  const before = await it.expectValid()
  expect(before.plan.fillRuns.some(({ on }) => on === day(0))).toBe(true)
  it.clock.set(`${day(0)}T16:59:00Z`)
  const found = async () => {
    const { revision, epoch, timeZone, rolledThrough } = await it.client.distributor.findFirstOrThrow()
    const sites = await it.client.site.findMany()
    const clocks = sites.map((each) => ({
      ...each,
      endedThrough: each.endedThrough?.toISOString().slice(0, 10) ?? null,
    }))
    const through = rolledThrough?.toISOString().slice(0, 10)
    return { revision, epoch, timeZone, offerKey: '', sites: clocks, rolledThrough: through }
  }
  expect(isRolled(it.clock, await found())).toBe(true)
  it.clock.set(`${day(0)}T17:00:00Z`)
  expect(isRolled(it.clock, await found())).toBe(false)
  await rollDays(it.actor)
  expect(isRolled(it.clock, await found())).toBe(true)
  const { plan, problem } = await it.expectValid()
  expect(problem.sites[0]?.closedOn).toEqual([day(0)])
  expect(plan.fillRuns).toEqual([])
  expect(plan.deliveries[0]?.from[0]?.stockLotId).toBeDefined()
  expect(await it.client.fact.findMany({ where: { assumed: true } })).toMatchObject([{ kind: 'FILLED', due: false }])
  // The 30 casks are all for the line that wanted them; the next are filled tomorrow.
  expect(await servedOn(1)).toBe(day(3))
})
