// A problem with its ids looked up and its dates counted from today, and what the rules of time alone leave possible:
// working days, ready days, and on which route and day each order line could be dispatched. Shared by the bounds and by
// the exact model, and by nothing of the search, so that the two can be held against each other.

import { minutesMissed } from '../calendar/cut-off.ts'
import type { LocalDate } from '../calendar/days.ts'
import { dayNumber, isoWeekday, localDateOf, minuteOfDay, wallClock } from '../calendar/days.ts'
import {
  type Account,
  type Batch,
  type Beer,
  type ContainerType,
  type Costs,
  DEFAULT_COSTS,
  type OrderLine,
  type Pack,
  type Problem,
  type Route,
  type Site,
  type Vessel,
} from '../documents/problem.ts'

/** A site with its working days; all days are counted from today (0). */
export interface SiteDays {
  site: Site
  brewDays: number[]
  fillDays: number[]
  /** First fill day from today on, which may lie past the horizon; infinity where there is none at all (V5). */
  firstFillDay: number
}

/** A pack with its beer and container. */
export interface PackFacts {
  pack: Pack
  beer: Beer
  type: ContainerType
  /** Nominal litres of a container, and litres that it takes from its batch (L2). */
  nominal: number
  drawn: number
}

/** A way to deliver a line (B1, B2): dispatched that day on that route it is served, at the earliest, on `serveOn`. */
export interface DispatchOption {
  route: Route
  siteId: string
  dispatchOn: number
  serveOn: number
  /** Transit and settling days together: a container fit to leave on day g could have been served on g + lead. */
  lead: number
  /** Days late, as the line's cost counts them (section 8). */
  daysLate: number
}

/** An order line with what it costs and how it can be delivered. */
export interface LineFacts {
  line: OrderLine
  account: Account
  facts: PackFacts
  /** Cost of one nominal litre not served, and of one nominal litre one day late; promised lines have terms of their own. */
  unservedRate: number
  lateRate: number
  promised: boolean
  /** Last day that is not late. */
  dueOn: number
  minDaysOnSale: number
  options: DispatchOption[]
}

export interface Instance {
  problem: Problem
  horizon: number
  costs: Costs
  sites: ReadonlyMap<string, SiteDays>
  beers: ReadonlyMap<string, Beer>
  packs: ReadonlyMap<string, PackFacts>
  lines: LineFacts[]
  /** Days of the horizon on which each route dispatches (T2). */
  routeDays: ReadonlyMap<string, number[]>
  /** Days from today to a date. */
  at(date: LocalDate): number
  /** The date so many days after today. */
  dateOf(day: number): LocalDate
  site(id: string): SiteDays
  vessel(id: string): Vessel
  pack(id: string): PackFacts
}

const PRIORITY_WEIGHT = { 1: 4, 2: 2, 3: 1 } as const

/** Looks a parsed problem up; every reference in it is trusted. */
export function readInstance(problem: Problem): Instance {
  const today = dayNumber(problem.today)
  const horizon = problem.horizonDays
  const at = (date: LocalDate) => dayNumber(date) - today
  const sites = new Map(problem.sites.map((site) => [site.id, siteDays(site, { today, horizon })]))
  const types = new Map(problem.containerTypes.map((type) => [type.id, type]))
  const vessels = new Map(problem.vessels.map((vessel) => [vessel.id, vessel]))
  const packs = new Map<string, PackFacts>()
  for (const beer of problem.beers) {
    for (const pack of beer.packs) {
      const type = found(types, pack.containerTypeId)
      const nominal = type.nominalLitres
      packs.set(pack.id, { pack, beer, type, nominal, drawn: nominal * (1 + type.overfillFraction) })
    }
  }
  const instance: Instance = {
    problem,
    horizon,
    costs: { ...DEFAULT_COSTS, ...problem.costs },
    sites,
    beers: new Map(problem.beers.map((beer) => [beer.id, beer])),
    packs,
    lines: [],
    routeDays: new Map(
      problem.routes.map((route) => {
        const closedOn = [...route.closedOn, ...found(sites, route.siteId).site.closedOn]
        return [route.id, workingDays({ today, horizon }, route.weekdays, closedOn)]
      }),
    ),
    at,
    dateOf: (day) => localDateOf(today + day),
    site: (id) => found(sites, id),
    vessel: (id) => found(vessels, id),
    pack: (id) => found(packs, id),
  }
  const accounts = new Map(problem.accounts.map((account) => [account.id, account]))
  const routes = new Map(problem.routes.map((route) => [route.id, route]))
  instance.lines = problem.orderLines.map((line) => {
    const account = found(accounts, line.accountId)
    const promised = line.promisedOn !== undefined
    const weight = PRIORITY_WEIGHT[line.priority]
    const { costs } = instance
    const facts: LineFacts = {
      line,
      account,
      facts: found(packs, line.packId),
      unservedRate: promised ? costs.unservedPromised : costs.unserved * weight,
      lateRate: promised ? costs.latePromised : costs.late * weight,
      promised,
      dueOn: at(line.promisedOn ?? line.serveOn),
      minDaysOnSale: account.minDaysOnSale,
      options: [],
    }
    facts.options = [...new Set(account.routeIds)].flatMap((id) => {
      return dispatchOptions(instance, facts, found(routes, id), today)
    })
    return facts
  })
  return instance
}

/** The ready day of a brew (T1): stages follow in wall-clock hours, so that the days are the same for every brew day. */
export function readyAfterBrew(site: Site, beer: Beer): number {
  const hours = beer.fermentHours + beer.restHours + beer.dryHopHours + beer.crashHours
  // Hours such as 0.1 are no whole binary fractions: a millionth of a minute is no later minute.
  const minutes = Math.round((minuteOfDay(site.brewEnds) + hours * 60) * 1e6) / 1e6
  const days = Math.floor(minutes / 1440)
  return minutes - days * 1440 <= minuteOfDay(site.fillStarts) ? days : days + 1
}

/** The ready day of a batch that exists (T1), counted from today; negative where it lies in the past. */
export function readyDayOfBatch(instance: Instance, batch: Batch): number {
  const { site } = instance.site(instance.vessel(batch.vesselId).siteId)
  const ready = wallClock(batch.readyAt, site.timeZone)
  const day = ready.day - dayNumber(instance.problem.today)
  return ready.minute <= minuteOfDay(site.fillStarts) ? day : day + 1
}

/** The day by which a batch that stands today must be empty (V5); it may lie past the horizon. Quarantined: infinity. */
export function emptyBy(instance: Instance, batch: Batch): number {
  if (batch.quarantined) return Number.POSITIVE_INFINITY
  const beer = found(instance.beers, batch.beerId)
  const limit =
    batch.transferredOn === undefined
      ? readyDayOfBatch(instance, batch) + beer.maxTankDays
      : instance.at(batch.transferredOn) + beer.brightDays + beer.maxBrightDays
  return Math.max(limit, instance.site(instance.vessel(batch.vesselId).siteId).firstFillDay)
}

/** Whether a pack may be drawn on a day from a batch with that ready day (V7). */
export function mayPrime(pack: Pack, batch: { ready: number; primable: boolean }, day: number): boolean {
  return day <= primedUntil(pack, batch)
}

/** Last day on which a pack may be drawn from a batch with that ready day (V7). */
export function primedUntil(pack: Pack, batch: { ready: number; primable: boolean }): number {
  if (!pack.primed) return Number.POSITIVE_INFINITY
  return batch.primable ? batch.ready + (pack.primingWindowDays ?? Number.POSITIVE_INFINITY) : -1
}

/** Counts days from today, and knows their weekdays. */
interface Calendar {
  today: number
  horizon: number
}

/** The days of the horizon on those weekdays, without the closed dates. */
function workingDays(
  { today, horizon }: Calendar,
  weekdays: readonly number[],
  closedOn: readonly LocalDate[],
): number[] {
  const closed = new Set(closedOn.map((date) => dayNumber(date) - today))
  const days: number[] = []
  for (let day = 0; day < horizon; day++)
    if (weekdays.includes(isoWeekday(today + day)) && !closed.has(day)) days.push(day)
  return days
}

function siteDays(site: Site, { today, horizon }: Calendar): SiteDays {
  const noFills = [...site.closedOn, ...site.noFillsOn]
  const fillDays = workingDays({ today, horizon }, site.fillWeekdays, noFills)
  // Past the horizon, each closed day can hide the one fill day of a week.
  const later = workingDays({ today, horizon: horizon + 7 * (noFills.length + 1) }, site.fillWeekdays, noFills)
  return {
    site,
    brewDays: workingDays({ today, horizon }, site.brewWeekdays, site.closedOn),
    fillDays,
    firstFillDay: later[0] ?? Number.POSITIVE_INFINITY,
  }
}

/**
 * For each dispatch day of a route the earliest day on which the line could be served (B1, B2, B6). A later serve day from
 * the same dispatch is never better: it is later, stands longer, needs a longer life and brings the container back later.
 */
function dispatchOptions(
  instance: Instance,
  { line, account, facts, dueOn }: LineFacts,
  route: Route,
  today: number,
): DispatchOption[] {
  const receives = account.receivesWeekdays
  const settle = account.settleDays ?? facts.pack.settleDays
  const lead = route.transitDays + settle
  const earliest = Math.max(0, instance.at(line.serveOn))
  const latest = Math.min(
    instance.horizon - 1,
    line.latestServeOn === undefined ? Number.POSITIVE_INFINITY : instance.at(line.latestServeOn),
  )
  const options: DispatchOption[] = []
  const { timeZone } = instance.site(route.siteId).site
  for (const dispatchOn of found(instance.routeDays, route.id)) {
    if (missesCutOff(line, route, timeZone, today + dispatchOn)) continue
    if (receives && !receives.includes(isoWeekday(today + dispatchOn + route.transitDays))) continue
    const serveOn = Math.max(dispatchOn + lead, earliest)
    if (serveOn > Math.min(dispatchOn + lead + account.maxEarlyDays, latest)) continue
    const daysLate = Math.max(0, serveOn - dueOn)
    options.push({ route, siteId: route.siteId, dispatchOn, serveOn, lead, daysLate })
  }
  return options
}

/** Was the line placed after the route's cut-off for a dispatch day (B6)? */
function missesCutOff({ placedAt }: OrderLine, { cutOff }: Route, timeZone: string, dispatch: number): boolean {
  return cutOff !== undefined && placedAt !== undefined && minutesMissed(placedAt, timeZone, cutOff, dispatch) > 0
}

function found<Value>(values: ReadonlyMap<string, Value>, id: string): Value {
  const value = values.get(id)
  if (value === undefined) throw new RangeError(`the problem has no "${id}"`)
  return value
}
