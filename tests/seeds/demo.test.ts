// The demo on many days: valid, of the promised size, and with the arithmetic of its key orders right on each.
import { DateTime } from 'luxon'
import { describe, expect, it } from 'vitest'
import { firstServe } from '../../seeds/demo/calendar.ts'
import { bankHolidays } from '../../seeds/demo/holidays.ts'
import { packOf, wayTo } from '../../seeds/demo/ways.ts'
import { demoScenario, KEY_ORDERS } from '../../seeds/demo.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import { parseProblem } from '../../src/planner/index.ts'
import { DEMO_TODAYS } from './demo-todays.ts'

/** Days on which the holidays of Christmas and New Year lie close before and after. */
const NEAR_NEW_YEAR = /-(12-(2[6-9]|3\d)|01-0\d)$/

const scenarios = DEMO_TODAYS.map((today) => demoScenario(today))

/** The lines of an order. */
const linesOf = (scenario: (typeof scenarios)[number], orderId: string) =>
  scenario.problem.orderLines.filter((line) => line.orderId === orderId)

describe('the demo, whatever day it is', () => {
  it('is valid input, and the same for the same day', () => {
    for (const [index, { problem }] of scenarios.entries()) {
      expect(parseProblem(problem), problem.today).toMatchObject({ ok: true })
      expect(demoScenario(problem.today)).toStrictEqual(scenarios[index])
    }
  })

  it('has two sites, 8 to 14 vessels, 6 to 9 beers, 3 or 4 routes, 25 to 40 accounts and five weeks of orders', () => {
    for (const { problem } of scenarios) {
      expect(problem.sites).toHaveLength(2)
      expect(problem.vessels.length).toBeGreaterThanOrEqual(8)
      expect(problem.vessels.length).toBeLessThanOrEqual(14)
      expect(problem.beers.length).toBeGreaterThanOrEqual(6)
      expect(problem.beers.length).toBeLessThanOrEqual(9)
      expect(problem.routes.length).toBeGreaterThanOrEqual(3)
      expect(problem.routes.length).toBeLessThanOrEqual(4)
      expect(problem.accounts.length).toBeGreaterThanOrEqual(25)
      expect(problem.accounts.length).toBeLessThanOrEqual(40)
      const days = problem.orderLines.map((line) => line.serveOn).sort()
      expect(days[0]! >= problem.today).toBe(true)
      expect(days.at(-1)! >= addDays(problem.today, 29)).toBe(true)
      expect(days.at(-1)! <= addDays(problem.today, 35)).toBe(true)
    }
  })

  it('names every site, vessel, beer, pack, container type, filler, route, account and batch', () => {
    for (const { problem, names } of scenarios) {
      const named = [
        [problem.sites, names.sites],
        [problem.vessels, names.vessels],
        [problem.beers, names.beers],
        [problem.beers.flatMap((beer) => beer.packs), names.packs],
        [problem.containerTypes, names.containerTypes],
        [problem.fillers, names.fillers],
        [problem.routes, names.routes],
        [problem.accounts, names.accounts],
        [problem.batches, names.batches],
        [problem.stock, names.stock],
      ] as const
      for (const [things, by] of named) {
        expect(things.filter(({ id }) => !by?.[id])).toEqual([])
        const refs = Object.values(by ?? {}).flatMap(({ externalRef }) => externalRef ?? [])
        expect(new Set(refs).size).toBe(refs.length)
      }
    }
  })

  it('gives the lines of one order one account and one serve day', () => {
    for (const { problem } of scenarios) {
      const orders = new Map<string, string>()
      for (const { orderId, accountId, serveOn } of problem.orderLines) {
        expect(orders.get(orderId) ?? `${accountId} ${serveOn}`).toBe(`${accountId} ${serveOn}`)
        orders.set(orderId, `${accountId} ${serveOn}`)
      }
    }
  })

  it('has each key order', () => {
    for (const scenario of scenarios) {
      for (const orderId of Object.values(KEY_ORDERS)) expect(linesOf(scenario, orderId)).toHaveLength(1)
    }
  })

  it('has brewed its batches on brew days, the stages and the afternoon before their ready day', () => {
    for (const { problem } of scenarios) {
      for (const batch of problem.batches) {
        const beer = problem.beers.find((other) => other.id === batch.beerId)!
        const vessel = problem.vessels.find((other) => other.id === batch.vesselId)!
        const site = problem.sites.find((other) => other.id === vessel.siteId)!
        const hours = beer.fermentHours + beer.restHours + beer.dryHopHours + beer.crashHours
        const ready = DateTime.fromISO(batch.readyAt, { zone: 'Europe/London' })
        const byStages = ready.minus({ days: hours / 24 })
        expect([15, 16]).toContain(byStages.hour)
        expect(byStages.toISODate()! < problem.today).toBe(true)
        // Near the festival's day a holiday may leave no brew day that fits: then the Copperplate fermented longer.
        const mostLonger = batch.beerId === 'copperplate' && NEAR_NEW_YEAR.test(problem.today) ? 3 : 0
        const days = Array.from({ length: mostLonger + 1 }, (_, longer) => byStages.minus({ days: longer }))
        const isBrewDay = (day: DateTime) =>
          site.brewWeekdays.includes(day.weekday) && !site.closedOn?.includes(day.toISODate()!)
        expect(days.some(isBrewDay), `${batch.id} on ${problem.today}`).toBe(true)
      }
    }
  })

  it('rests on the bank holidays, at both sites and on all routes', () => {
    const { problem } = demoScenario('2027-03-17')
    for (const { closedOn } of [...problem.sites, ...problem.routes])
      expect(closedOn?.filter((day) => day >= problem.today)).toEqual(['2027-03-26', '2027-03-29', '2027-05-03'])
  })

  it('has holidays for as long as its batches are old and its horizon is', () => {
    for (const { problem } of scenarios) {
      const [first, last] = [addDays(problem.today, -45), addDays(problem.today, problem.horizonDays)]
      const years = new Set([first.slice(0, 4), last.slice(0, 4)])
      const holidays = [...years].flatMap((year) => bankHolidays(Number(year)))
      const within = holidays.filter((day) => first <= day && day <= last)
      for (const { closedOn } of [...problem.sites, ...problem.routes])
        expect(closedOn).toEqual(expect.arrayContaining(within))
    }
  })
})

describe('the arithmetic of the key orders', () => {
  it('lets the festival have its firkins within the fill day’s minutes, and not the caterer too', () => {
    for (const scenario of scenarios) {
      const line = scenario.problem.fillers.find((filler) => filler.id === 'm-cask-line')!
      const [festival] = linesOf(scenario, KEY_ORDERS.festival)
      const [caterer] = linesOf(scenario, KEY_ORDERS.lateFillerMinutes)
      const batch = scenario.problem.batches.find((other) => other.beerId === 'copperplate')!
      const fillDay = DateTime.fromISO(batch.readyAt, { zone: 'Europe/London' }).plus({ days: 1 })
      const { site } = wayTo('beer-festival', scenario.problem.today)
      const [from, to] = [fillDay.minus({ days: 16 }).toISODate()!, fillDay.plus({ days: 8 }).toISODate()!]
      const isNearHoliday = site.closedOn?.some((day) => from <= day && day <= to)
      if (!isNearHoliday) expect(fillDay.weekday).toBe(3)
      const minutes = line.minutesOn?.[fillDay.toISODate()!] ?? 0
      const needed = (firkins: number) => 20 + firkins * (line.minutesEach.firkin ?? 0)
      expect(needed(festival!.quantity)).toBeLessThanOrEqual(minutes)
      expect(needed(festival!.quantity + caterer!.quantity)).toBeGreaterThan(minutes)
      // Wednesday + 2 days of conditioning = Friday, the last dray before Saturday; near holidays another such pair.
      const { pack } = packOf('copperplate-firkin')
      const way = wayTo('beer-festival', scenario.problem.today)
      const servedIfFilled = (day: DateTime) => firstServe(day.toISODate()!, pack, way)
      expect(festival!.serveOn).toBe(servedIfFilled(fillDay))
      expect(servedIfFilled(fillDay.plus({ days: 1 })) > festival!.serveOn).toBe(true)
      if (fillDay.weekday === 3 && !isNearHoliday) expect(festival!.serveOn).toBe(fillDay.plus({ days: 3 }).toISODate())
    }
  })

  it('wants more firkins for the regatta than are clean before day 9', () => {
    for (const scenario of scenarios) {
      const { fleets, today } = scenario.problem
      const fleet = fleets.find((other) => other.siteId === 'hithelow' && other.containerTypeId === 'firkin')!
      const [regatta] = linesOf(scenario, KEY_ORDERS.lateCleanFirkins)
      expect(regatta!.quantity).toBeGreaterThan(fleet.cleanNow)
      expect(fleet.returns?.[0]?.on).toBe(addDays(today, 8))
      // Filled on day 9 at the earliest.
      const { pack } = packOf('dog-ear-firkin')
      expect(regatta!.serveOn < firstServe(addDays(today, 9), pack, wayTo('regatta', today))).toBe(true)
      expect(regatta!.serveOn < addDays(today, 11)).toBe(true)
    }
  })

  it('lets the Mild stand beyond its priming window, and the show’s firkins exceed the van', () => {
    for (const { problem } of scenarios) {
      const mild = problem.batches.find((batch) => batch.beerId === 'sealing-wax')!
      expect(mild.readyAt.slice(0, 10) < addDays(problem.today, -11)).toBe(true)
      const show = problem.orderLines.find((line) => line.orderId === KEY_ORDERS.unservedVanTooSmall)!
      const van = problem.routes.find((route) => route.id === 'hill-van')!
      expect(show.quantity * 40.91481).toBeGreaterThan(van.capacityLitres!)
    }
  })
})
