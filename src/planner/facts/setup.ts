// The problem as the checker reads it: look-ups by id, calendars, and dates as whole days after today.

import type { LocalDate } from '../calendar/days.ts'
import { dayNumber, isoWeekday, localDateOf, minuteOfDay } from '../calendar/days.ts'
import type {
  Account,
  Beer,
  ContainerType,
  Filler,
  OrderLine,
  Pack,
  Problem,
  Route,
  Site,
  Vessel,
} from '../documents/problem.ts'

/** A pack with what it is of and in. */
export interface PackFacts {
  pack: Pack
  beer: Beer
  type: ContainerType
  /** Litres that one container takes from a batch (L2). */
  drawLitres: number
}

/** A site's working days (T2), as questions about days after today. */
export interface SiteFacts {
  site: Site
  closed: ReadonlySet<number>
  brewsOn(day: number): boolean
  fillsOn(day: number): boolean
  /** Minute of the day at which filling starts. */
  fillStarts: number
  /** The first fill day of the horizon, if it has one (V5). */
  firstFillDay: number | undefined
}

/** A route's dispatch days (T2): its weekdays, less days on which it or its site is closed. */
export interface RouteFacts {
  route: Route
  dispatchesOn(day: number): boolean
}

export interface SetupFacts {
  problem: Problem
  /** Day number of today; all other days are counted from it. */
  today: number
  /** First day after the horizon. */
  horizon: number
  sites: ReadonlyMap<string, SiteFacts>
  vessels: ReadonlyMap<string, Vessel>
  beers: ReadonlyMap<string, Beer>
  packs: ReadonlyMap<string, PackFacts>
  fillers: ReadonlyMap<string, Filler>
  routes: ReadonlyMap<string, RouteFacts>
  accounts: ReadonlyMap<string, Account>
  lines: ReadonlyMap<string, OrderLine>
  /** Days from today to a date. */
  dayOf(date: LocalDate): number
  dateOf(day: number): LocalDate
  weekdayOf(day: number): number
  inHorizon(day: number): boolean
}

/** Reads a problem. */
export function setupFacts(problem: Problem): SetupFacts {
  const today = dayNumber(problem.today)
  const horizon = problem.horizonDays
  const days = new Map<LocalDate, number>()
  const dayOf = (date: LocalDate) => {
    let day = days.get(date)
    if (day === undefined) {
      day = dayNumber(date) - today
      days.set(date, day)
    }
    return day
  }
  const weekdayOf = (day: number) => isoWeekday(today + day)
  const sites = byId(problem.sites, (site) => siteFacts(site, horizon, dayOf, weekdayOf))
  const types = byId(problem.containerTypes, (type) => type)
  const packs = new Map<string, PackFacts>()
  for (const beer of problem.beers)
    for (const pack of beer.packs) {
      const type = types.get(pack.containerTypeId)
      if (!type) throw new RangeError(`pack ${pack.id} names no container type: parse the problem first`)
      packs.set(pack.id, { pack, beer, type, drawLitres: type.nominalLitres * (1 + type.overfillFraction) })
    }
  return {
    problem,
    today,
    horizon,
    sites,
    vessels: byId(problem.vessels, (vessel) => vessel),
    beers: byId(problem.beers, (beer) => beer),
    packs,
    fillers: byId(problem.fillers, (filler) => filler),
    routes: byId(problem.routes, (route) => routeFacts(route, sites, dayOf, weekdayOf)),
    accounts: byId(problem.accounts, (account) => account),
    lines: byId(problem.orderLines, (line) => line),
    dayOf,
    dateOf: (day) => localDateOf(today + day),
    weekdayOf,
    inHorizon: (day) => day >= 0 && day < horizon,
  }
}

/** The site of that id; a problem that was parsed has it. */
export function siteOf(setup: SetupFacts, siteId: string): SiteFacts {
  const site = setup.sites.get(siteId)
  if (!site) throw new RangeError(`there is no site ${siteId}: parse the problem first`)
  return site
}

function byId<Item extends { id: string }, Value>(
  list: readonly Item[],
  read: (item: Item) => Value,
): Map<string, Value> {
  return new Map(list.map((item) => [item.id, read(item)]))
}

function siteFacts(
  site: Site,
  horizon: number,
  dayOf: (date: LocalDate) => number,
  weekdayOf: (day: number) => number,
): SiteFacts {
  const closed = new Set(site.closedOn.map(dayOf))
  const works = (weekdays: readonly number[], not: ReadonlySet<number>) => {
    const set = new Set(weekdays)
    return (day: number) => set.has(weekdayOf(day)) && !not.has(day)
  }
  const fillsOn = works(site.fillWeekdays, new Set([...closed, ...site.noFillsOn.map(dayOf)]))
  let firstFillDay: number | undefined
  for (let day = 0; day < horizon && firstFillDay === undefined; day++) if (fillsOn(day)) firstFillDay = day
  return {
    site,
    closed,
    brewsOn: works(site.brewWeekdays, closed),
    fillsOn,
    fillStarts: minuteOfDay(site.fillStarts),
    firstFillDay,
  }
}

function routeFacts(
  route: Route,
  sites: ReadonlyMap<string, SiteFacts>,
  dayOf: (date: LocalDate) => number,
  weekdayOf: (day: number) => number,
): RouteFacts {
  const weekdays = new Set(route.weekdays)
  const closed = new Set(route.closedOn.map(dayOf))
  const siteClosed = sites.get(route.siteId)?.closed
  return {
    route,
    dispatchesOn: (day) => weekdays.has(weekdayOf(day)) && !closed.has(day) && !siteClosed?.has(day),
  }
}
