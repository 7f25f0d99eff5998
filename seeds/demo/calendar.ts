// The forward arithmetic with which the demo chooses its days: from a fill to the day on which the beer can be served.

import type {
  AccountDocument,
  LocalDate,
  PackDocument,
  RouteDocument,
  SiteDocument,
} from '../../src/planner/documents/index.ts'
import { addDays, dayNumber, isoWeekday } from '../../src/planner/documents/index.ts'

/** The first day on or after `from` that has one of the weekdays and is not closed. */
export function firstOn(from: LocalDate, weekdays: readonly number[], closedOn: readonly LocalDate[] = []): LocalDate {
  for (let day = from; ; day = addDays(day, 1)) {
    if (weekdays.includes(weekdayOf(day)) && !closedOn.includes(day)) return day
  }
}

/** The last day on or before `from` that has one of the weekdays and is not closed. */
export function lastOn(from: LocalDate, weekdays: readonly number[], closedOn: readonly LocalDate[] = []): LocalDate {
  for (let day = from; ; day = addDays(day, -1)) {
    if (weekdays.includes(weekdayOf(day)) && !closedOn.includes(day)) return day
  }
}

/** ISO weekday of a date: 1 = Monday. */
export function weekdayOf(day: LocalDate): number {
  return isoWeekday(dayNumber(day))
}

/** How many days before the last an arrival may be where the account does not say (B1). */
const DEFAULT_EARLY_DAYS = 6

/** The way from a site to an account: the site, the route, and what the account asks for. */
export interface SupplyRoute {
  site: SiteDocument
  route: RouteDocument
  account: AccountDocument
}

/**
 * The first day on which a pack filled on or after `from` can be served: fill day, conditioning, dispatch day of the
 * route, transit, the account's settle days or the pack's (rules B1 to B3; fill and dispatch days by T2).
 */
export function firstServe(from: LocalDate, pack: PackDocument, way: SupplyRoute): LocalDate {
  const filledOn = firstOn(from, way.site.fillWeekdays, way.site.closedOn)
  return firstServeOfReady(addDays(filledOn, pack.conditioningDays), pack, way)
}

/** Whether some dispatch day of the route brings a pack for a serve day: not too late and not too early (B1, B2, T2). */
export function isBrought(serveOn: LocalDate, pack: PackDocument, { site, route, account }: SupplyRoute): boolean {
  const settle = account.settleDays ?? pack.settleDays
  const closed = [...(site.closedOn ?? []), ...(route.closedOn ?? [])]
  const early = Array.from({ length: (account.maxEarlyDays ?? DEFAULT_EARLY_DAYS) + 1 }, (_, days) => days)
  return early.some((days) => {
    const arrivesOn = addDays(serveOn, -settle - days)
    const dispatchOn = addDays(arrivesOn, -route.transitDays)
    const received = account.receivesWeekdays?.includes(weekdayOf(arrivesOn)) ?? true
    return received && route.weekdays.includes(weekdayOf(dispatchOn)) && !closed.includes(dispatchOn)
  })
}

/** The first day on which a pack that is fit to leave on `readyOn` can be served. */
export function firstServeOfReady(
  readyOn: LocalDate,
  pack: PackDocument,
  { site, route, account }: SupplyRoute,
): LocalDate {
  const closed = [...(site.closedOn ?? []), ...(route.closedOn ?? [])]
  for (let day = readyOn; ; day = addDays(day, 1)) {
    const dispatchOn = firstOn(day, route.weekdays, closed)
    const arrivesOn = addDays(dispatchOn, route.transitDays)
    if (!account.receivesWeekdays || account.receivesWeekdays.includes(weekdayOf(arrivesOn))) {
      return addDays(arrivesOn, account.settleDays ?? pack.settleDays)
    }
    day = dispatchOn
  }
}
