// Order cut-offs of routes (B6): which dispatch days an order still catches, by the wall clock of the route's site.
import { minuteOfDay, wallClock } from './days.ts'

/** Orders are in time until `at` (`HH:mm`), so many calendar days before the day of dispatch. */
export interface CutOff {
  daysBefore: number
  at: string
}

const DAY = 24 * 60

/** The first dispatch day, as a day number, that an order placed at an instant still catches in a zone (B6). */
export function firstDispatchDay(placedAt: string, timeZone: string, { daysBefore, at }: CutOff): number {
  const placed = wallClock(placedAt, timeZone)
  return placed.day + daysBefore + (placed.minute <= minuteOfDay(at) ? 0 : 1)
}

/** Whole minutes by which an order placed at an instant misses the cut-off of a dispatch day; 0 where it is in time. */
export function minutesMissed(
  placedAt: string,
  timeZone: string,
  { daysBefore, at }: CutOff,
  dispatch: number,
): number {
  const placed = wallClock(placedAt, timeZone)
  return Math.max(0, Math.ceil((placed.day - dispatch + daysBefore) * DAY + placed.minute - minuteOfDay(at)))
}

/** The cut-off so many minutes later; undefined, which is none, where that would be after the day of dispatch. */
export function laterCutOff({ daysBefore, at }: CutOff, minutes: number): CutOff | undefined {
  const before = daysBefore * DAY - minuteOfDay(at) - minutes
  if (before <= -DAY) return undefined
  const days = Math.max(0, Math.ceil(before / DAY))
  const minute = days * DAY - before
  const two = (value: number) => String(value).padStart(2, '0')
  return { daysBefore: days, at: `${two(Math.floor(minute / 60))}:${two(minute % 60)}` }
}
