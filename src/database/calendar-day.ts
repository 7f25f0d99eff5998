// Calendar days in the database's hands: a DATE column is a JavaScript Date at midnight UTC.
import type { LocalDate } from '../planner/documents/index.ts'

/** The value of a DATE column for a day. */
export function dateOf(day: LocalDate): Date {
  return new Date(`${day}T00:00:00Z`)
}

/** The day of a DATE column's value. */
export function dayOf(date: Date): LocalDate {
  return date.toISOString().slice(0, 10)
}
