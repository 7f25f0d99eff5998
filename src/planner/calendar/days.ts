// Local calendar dates as whole day numbers, and wall-clock times as minutes. No clock and no zone of the machine
// is read here: a date is counted from 1970-01-01 in the proleptic Gregorian calendar.
/** A local calendar date, `YYYY-MM-DD`. */
export type LocalDate = string

/** Days since 1970-01-01 of a local date. */
export function dayNumber(date: LocalDate): number {
  return Date.UTC(Number(date.slice(0, 4)), Number(date.slice(5, 7)) - 1, Number(date.slice(8, 10))) / 86_400_000
}

/** The local date of a day number. */
export function localDateOf(day: number): LocalDate {
  return new Date(day * 86_400_000).toISOString().slice(0, 10)
}

/** The local date `days` after `date` (before, where negative). */
export function addDays(date: LocalDate, days: number): LocalDate {
  return localDateOf(dayNumber(date) + days)
}

/** ISO weekday of a day number: 1 = Monday … 7 = Sunday. 1970-01-01 was a Thursday. */
export function isoWeekday(day: number): number {
  return ((((day + 3) % 7) + 7) % 7) + 1
}

const WEEKDAYS = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday']

/** A day number as one would say it: `Monday 2027-03-01`. */
export function dayWords(day: number): string {
  return `${WEEKDAYS[isoWeekday(day) - 1]} ${localDateOf(day)}`
}

/** Minutes after midnight of `HH:mm`. */
export function minuteOfDay(time: string): number {
  return Number(time.slice(0, 2)) * 60 + Number(time.slice(3, 5))
}

/** Wall-clock day number and minute of an instant in a zone; seconds count as fractions of a minute. */
export function wallClock(instant: string, timeZone: string): { day: number; minute: number } {
  const parts = formatterFor(timeZone).formatToParts(new Date(instant))
  const value = (type: Intl.DateTimeFormatPartTypes) => Number(parts.find((part) => part.type === type)?.value)
  const day = Date.UTC(value('year'), value('month') - 1, value('day')) / 86_400_000
  const milliseconds = ((new Date(instant).getTime() % 1000) + 1000) % 1000
  return { day, minute: value('hour') * 60 + value('minute') + (value('second') + milliseconds / 1000) / 60 }
}

const formatters = new Map<string, Intl.DateTimeFormat>()

function formatterFor(timeZone: string): Intl.DateTimeFormat {
  let formatter = formatters.get(timeZone)
  if (!formatter) {
    formatter = new Intl.DateTimeFormat('en-GB', {
      timeZone,
      hourCycle: 'h23',
      year: 'numeric',
      month: 'numeric',
      day: 'numeric',
      hour: 'numeric',
      minute: 'numeric',
      second: 'numeric',
    })
    formatters.set(timeZone, formatter)
  }
  return formatter
}

/** The later of two days. */
export function laterOf(a: LocalDate, b: LocalDate): LocalDate {
  return a < b ? b : a
}
