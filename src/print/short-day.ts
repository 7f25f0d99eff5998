// A day in a narrow column.
import type { LocalDate } from '../planner/documents/index.ts'

const FORMAT = new Intl.DateTimeFormat('en-GB', { timeZone: 'UTC', weekday: 'short', day: 'numeric', month: 'short' })

const IN_MONTH = new Intl.DateTimeFormat('en-GB', { timeZone: 'UTC', day: 'numeric', month: 'short' })

/** Such as `Mon 1 Mar`. */
export function shortDay(day: LocalDate): string {
  return FORMAT.format(new Date(`${day}T00:00:00Z`)).replace(',', '')
}

/** Such as `1 Mar`. */
export function dayAndMonth(day: LocalDate): string {
  return IN_MONTH.format(new Date(`${day}T00:00:00Z`))
}
