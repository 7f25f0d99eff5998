// When batches become ready, for those whose ready time is counted from a brew day (rule T1).

import type { BeerDocument, LocalDate, SiteDocument } from '../src/planner/documents/index.ts'
import { dayNumber, instantAt, minuteOfDay, wallClock } from '../src/planner/documents/index.ts'

/** The instant at which a batch of `beer`, brewed at `site` on `brewOn`, ends its crash (rule T1). */
export function readyInstant(site: SiteDocument, beer: BeerDocument, brewOn: LocalDate): string {
  const hours = beer.fermentHours + beer.restHours + beer.dryHopHours + beer.crashHours
  const minutes = minuteOfDay(site.brewEnds) + Math.round(hours * 60)
  return instantAt(dayNumber(brewOn) + Math.floor(minutes / 1440), minutes % 1440, site.timeZone)
}

/** The first calendar day (its number) whose `fillStarts` is not before `readyAt`: the ready day of rule T1. */
export function readyDay(site: SiteDocument, readyAt: string): number {
  const ready = wallClock(readyAt, site.timeZone)
  return ready.minute <= minuteOfDay(site.fillStarts) ? ready.day : ready.day + 1
}
