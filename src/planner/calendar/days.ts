// Local calendar dates as whole day numbers, and wall-clock times as minutes. No clock and no zone of the machine is read
// here: a date is counted from 1970-01-01 in the proleptic Gregorian calendar. Zones and words are date-fns' own; day numbers
// stay plain integers, because a problem is compiled from tens of thousands of them.
import { TZDate } from '@date-fns/tz'
import { format } from 'date-fns/format'

const MILLISECONDS_PER_DAY = 86_400_000

/** A local calendar date, `YYYY-MM-DD`. */
export type LocalDate = string

/** Dates that were asked for, each way: a plan of thousands of lines names the same hundred days again and again. */
const known = { numbers: new Map<LocalDate, number>(), dates: new Map<number, LocalDate>() }
/** So many are kept at most. */
const MOST_KNOWN = 10_000

/** Days since 1970-01-01 of a local date. */
export function dayNumber(date: LocalDate): number {
  return remembered(known.numbers, date, readDay)
}

/** The local date of a day number. */
export function localDateOf(day: number): LocalDate {
  return remembered(known.dates, day, writeDay)
}

function readDay(date: LocalDate): number {
  const [year, month, day] = [date.slice(0, 4), date.slice(5, 7), date.slice(8, 10)].map(Number)
  // A quotient is kept as a fraction, in a box of its own, and so is all that is reckoned from it, unless it is made an integer.
  return (Date.UTC(year ?? 0, (month ?? 1) - 1, day ?? 1) / MILLISECONDS_PER_DAY) | 0
}

function writeDay(day: number): LocalDate {
  return new Date(day * MILLISECONDS_PER_DAY).toISOString().slice(0, 10)
}

function remembered<Key, Value>(values: Map<Key, Value>, key: Key, find: (key: Key) => Value): Value {
  const found = values.get(key)
  if (found !== undefined) return found
  if (values.size >= MOST_KNOWN) values.clear()
  const value = find(key)
  values.set(key, value)
  return value
}

/** The local date `days` after `date` (before, where negative). */
export function addDays(date: LocalDate, days: number): LocalDate {
  return localDateOf(dayNumber(date) + days)
}

/** ISO weekday of a day number: 1 = Monday … 7 = Sunday. 1970-01-01 was a Thursday. */
export function isoWeekday(day: number): number {
  return ((((day + 3) % 7) + 7) % 7) + 1
}

/** A local date in words, the same wherever people read one: `Monday 1 March 2027`. */
export function dayWords(date: LocalDate): string {
  return format(new TZDate(`${date}T00:00:00Z`, 'UTC'), 'EEEE d MMMM yyyy')
}

/** Minutes after midnight of `HH:mm`. */
export function minuteOfDay(time: string): number {
  return Number(time.slice(0, 2)) * 60 + Number(time.slice(3, 5))
}

/** Wall-clock day number and minute of an instant in a zone; seconds count as fractions of a minute. */
export function wallClock(instant: string, timeZone: string): { day: number; minute: number } {
  const shown = new TZDate(instant, timeZone)
  const day = (Date.UTC(shown.getFullYear(), shown.getMonth(), shown.getDate()) / MILLISECONDS_PER_DAY) | 0
  const seconds = shown.getSeconds() + shown.getMilliseconds() / 1000
  return { day, minute: shown.getHours() * 60 + shown.getMinutes() + seconds / 60 }
}

/** The instant at which a clock in the zone shows a time, `HH:mm`, of a day. */
export function instantOf(day: LocalDate, time: string, timeZone: string): Date {
  const minute = minuteOfDay(time)
  const [year, month, date] = [day.slice(0, 4), day.slice(5, 7), day.slice(8, 10)].map(Number)
  const shown = new TZDate(year ?? 0, (month ?? 1) - 1, date ?? 1, Math.floor(minute / 60), minute % 60, timeZone)
  return new Date(shown.getTime())
}

/** The later of two days. */
export function laterOf(a: LocalDate, b: LocalDate): LocalDate {
  return a < b ? b : a
}
