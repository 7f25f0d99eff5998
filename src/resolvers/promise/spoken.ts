// Days and quantities as one says them to a guest: `Friday 12 March`, no figures with hyphens.

import type { LocalDate } from '../../planner/documents/index.ts'
import { dayNumber, isoWeekday } from '../../planner/documents/index.ts'

const WEEKDAYS = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday']
const MONTHS = [
  ...['January', 'February', 'March', 'April', 'May', 'June', 'July'],
  ...['August', 'September', 'October', 'November', 'December'],
]

/** `Friday 12 March`; with the year where it is another than that of `today`. */
export function spokenDay(day: LocalDate, today: LocalDate): string {
  const [year = '', month, date] = day.split('-')
  const words = `${WEEKDAYS[isoWeekday(dayNumber(day)) - 1]} ${Number(date)} ${MONTHS[Number(month) - 1]}`
  return today.startsWith(year) ? words : `${words} ${year}`
}

/** A text with its days, such as `Friday 2027-03-12`, as they are said. */
export function spoken(text: string, today: LocalDate): string {
  return text.replace(/(?:\b[A-Z][a-z]+day )?\b(\d{4}-\d\d-\d\d)\b/g, (_, day: string) => spokenDay(day, today))
}

/** `a, b and c`. */
export function listed(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`
}
