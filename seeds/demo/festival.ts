// The festival's fill day: the day on which its firkins must be filled, whatever holidays lie about.

import type { LocalDate } from '../../src/planner/documents/index.ts'
import { addDays, dayNumber } from '../../src/planner/documents/index.ts'
import { firstOn, firstServe, lastOn, type SupplyRoute, weekdayOf } from './calendar.ts'
import { packOf, wayTo } from './ways.ts'

const WEDNESDAY = 3
/** Days from the brew of a Copperplate to its ready day (stages, and one more for the brew itself). */
const BREWED_BEFORE = 9

/** By how many days a Copperplate may have fermented longer than its stages say, where no brew day fits them. */
const MOST_LONGER = 3

/**
 * The day within the week from the day after tomorrow on which the Copperplate becomes ready and the festival's firkins
 * are filled: a Wednesday, whose firkins leave on the Friday, while Thursday's would be fit on Saturday, when no dray
 * leaves. Where a holiday comes between, another day that is like it: firkins of the next fill day come a dray later.
 * Throws `RangeError` where no day will do.
 */
export function festivalFillDay(today: LocalDate): LocalDate {
  const way = wayTo('beer-festival', today)
  const days = Array.from({ length: 7 }, (_, offset) => addDays(today, 2 + offset))
  const candidates = days
    .filter((day) => isAlone(day, way) && daysLonger(day, way) <= MOST_LONGER)
    .map((day) => ({ day, unlikeness: unlikeness(day, way) }))
    .sort((a, b) => a.unlikeness - b.unlikeness)
  const found = candidates[0]?.day
  if (found === undefined) throw new RangeError(`no day after ${today} will do for the festival's fill`)
  return found
}

/** Whether fills of that day come to the festival a dray before those of the next. */
function isAlone(day: LocalDate, way: SupplyRoute): boolean {
  if (firstOn(day, way.site.fillWeekdays, way.site.closedOn) !== day) return false
  const { pack } = packOf('copperplate-firkin')
  return firstServe(day, pack, way) < firstServe(addDays(day, 1), pack, way)
}

/** Days by which the last batch that can be ready on a day is older than its stages. */
function daysLonger(readyOn: LocalDate, { site }: SupplyRoute): number {
  const latest = addDays(readyOn, -BREWED_BEFORE)
  return dayNumber(latest) - dayNumber(lastOn(latest, site.brewWeekdays, site.closedOn))
}

/** How far a day is from a Wednesday in the middle of a week's work: first by the batch, then by what crowds it. */
function unlikeness(day: LocalDate, way: SupplyRoute): number {
  const { fillWeekdays, closedOn } = way.site
  const yesterday = addDays(day, -1)
  // The first fill day after closed ones has too much else to fill.
  const isAfterClosed = lastOn(yesterday, fillWeekdays, closedOn) !== yesterday
  return 4 * Math.sign(daysLonger(day, way)) + 2 * Number(isAfterClosed) + Number(weekdayOf(day) !== WEDNESDAY)
}
