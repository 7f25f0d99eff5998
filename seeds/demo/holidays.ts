// The bank holidays of England and Wales, on which the demo's sites and routes rest. Sources: Banking and Financial
// Dealings Act 1971, section 1 and Schedule 1 (Easter Monday, the last Mondays of May and August, Boxing Day and its
// substitute); royal proclamation under the same section, year by year (New Year's Day since 1974, the first Monday of
// May since 1978, substitutes of days that fall on a weekend); Good Friday and Christmas Day by common law.

import type { LocalDate } from '../../src/planner/documents/index.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import { firstOn, lastOn } from './calendar.ts'

const MONDAY = 1
const WORKDAYS = [1, 2, 3, 4, 5]

/** Easter Sunday of a Gregorian year: the anonymous Gregorian algorithm (Meeus, Jones, Butcher). */
export function easterSunday(year: number): LocalDate {
  const golden = year % 19
  const century = Math.floor(year / 100)
  const inCentury = year % 100
  const moonShift = Math.floor((century - Math.floor((century + 8) / 25) + 1) / 3)
  const epact = (19 * golden + century - Math.floor(century / 4) - moonShift + 15) % 30
  const toSunday = (32 + 2 * (century % 4) + 2 * Math.floor(inCentury / 4) - epact - (inCentury % 4)) % 7
  const late = Math.floor((golden + 11 * epact + 22 * toSunday) / 451)
  const days = epact + toSunday - 7 * late + 114
  return dateOf(year, Math.floor(days / 31), (days % 31) + 1)
}

const known = new Map<number, readonly LocalDate[]>()

/**
 * The bank holidays of a year, in order of day. A holiday with a fixed date that falls on a Saturday or Sunday is kept
 * on the next workday that is no holiday itself. One-off holidays are not known in advance, and left out.
 */
export function bankHolidays(year: number): readonly LocalDate[] {
  const holidays = known.get(year) ?? derivedHolidays(year)
  known.set(year, holidays)
  return holidays
}

function derivedHolidays(year: number): LocalDate[] {
  const easter = easterSunday(year)
  const christmas = dateOf(year, 12, 25)
  // Two workdays from Christmas Day on, whatever weekdays the two days have: 25 and 26, 25 and 28 (Boxing Day on a
  // Saturday), 27 and 28 (Christmas on a Saturday), or 26 and 27 (on a Sunday: the substitute is the Tuesday).
  const firstOff = firstOn(christmas, WORKDAYS)
  return [
    firstOn(dateOf(year, 1, 1), WORKDAYS),
    addDays(easter, -2),
    addDays(easter, 1),
    firstOn(dateOf(year, 5, 1), [MONDAY]),
    lastOn(dateOf(year, 5, 31), [MONDAY]),
    lastOn(dateOf(year, 8, 31), [MONDAY]),
    firstOff,
    firstOn(addDays(firstOff, 1), WORKDAYS),
  ].sort()
}

/** The bank holidays of all years that some days around `today` reach, in order. */
export function bankHolidaysAround(today: LocalDate, daysBefore: number, daysAfter: number): LocalDate[] {
  const [first, last] = [addDays(today, -daysBefore), addDays(today, daysAfter)]
  const years = new Set([Number(first.slice(0, 4)), Number(last.slice(0, 4))])
  return [...years].flatMap(bankHolidays).filter((day) => day >= first && day <= last)
}

function dateOf(year: number, month: number, day: number): LocalDate {
  return `${year}-${String(month).padStart(2, '0')}-${String(day).padStart(2, '0')}`
}
