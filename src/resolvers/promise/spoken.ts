// Days and quantities as one says them to a guest: `Friday 12 March`, no figures with hyphens.

import type { LocalDate } from '../../planner/documents/index.ts'
import { formatDay } from '../../planner/documents/index.ts'

/** `Friday 12 March`; with the year where it is another than that of `today`. */
export function spokenDay(day: LocalDate, today: LocalDate): string {
  return formatDay(day, day.slice(0, 4) === today.slice(0, 4) ? 'EEEE d MMMM' : 'EEEE d MMMM yyyy')
}

/** `a, b and c`. */
export function listed(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`
}
