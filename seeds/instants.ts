// Wall-clock times of a zone as instants, for batches whose ready time is counted from a brew day (rule T1).

import type { BeerDocument, LocalDate, SiteDocument } from '../src/planner/documents/index.ts'
import { dayNumber, minuteOfDay, wallClock } from '../src/planner/documents/index.ts'

/**
 * The instant (RFC 3339 with the zone's offset) at which the clocks of a zone show `minute` minutes after midnight of
 * the day with number `day`. A time that the clocks skip is read as the time after the gap; of one that they show
 * twice, the first is meant.
 */
export function instantAt(day: number, minute: number, timeZone: string): string {
  const wanted = (day * 1440 + minute) * 60_000
  const offset = (at: number) => shown(at, timeZone) - at
  const before = wanted - offset(wanted - 86_400_000)
  const after = wanted - offset(wanted + 86_400_000)
  const showing = [before, after].filter((at) => shown(at, timeZone) === wanted)
  const found = showing.length > 0 ? Math.min(...showing) : before
  return rfc3339(found, shown(found, timeZone))
}

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

/** What the zone's clocks show at an instant, as if it were UTC, in milliseconds. */
function shown(milliseconds: number, timeZone: string): number {
  const { day, minute } = wallClock(new Date(milliseconds).toISOString(), timeZone)
  return Math.round((day * 1440 + minute) * 60_000)
}

function rfc3339(milliseconds: number, local: number): string {
  const offset = Math.round((local - milliseconds) / 60_000)
  const size = Math.abs(offset)
  const two = (value: number) => String(value).padStart(2, '0')
  const zone = `${offset < 0 ? '-' : '+'}${two(Math.floor(size / 60))}:${two(size % 60)}`
  return `${new Date(local).toISOString().slice(0, 19)}${zone}`
}
