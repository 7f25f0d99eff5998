// Containers that the set-up lists as coming back, without saying from where: they were out when the records began.
import { addDays, type LocalDate } from '../../planner/documents/index.ts'
import { DAYS_OVERDUE } from './expected-return.ts'
import type { Arrived } from './first-in-first-out.ts'

/** A line of the set-up's list. */
export interface Announced {
  on: LocalDate
  quantity: number
}

/**
 * The lines that have not come, with what is left of each. `came` are returns from accounts that were not known to have
 * them: each makes good the oldest line whose day is at most 14 days away. Lines of a day before the records began were back
 * then, and are being washed: they are no part of the answer.
 */
export function stillAnnounced(
  lines: readonly Announced[],
  came: readonly Arrived[],
  recordsBegan: LocalDate,
): Announced[] {
  const left = lines
    .filter(({ on }) => on >= recordsBegan)
    .map((line) => ({ ...line }))
    .sort((a, b) => (a.on < b.on ? -1 : 1))
  for (const { day, quantity } of [...came].sort((a, b) => (a.day < b.day ? -1 : 1))) {
    let rest = quantity
    for (const line of left) {
      const isNear = addDays(line.on, -DAYS_OVERDUE) <= day && day <= addDays(line.on, DAYS_OVERDUE)
      const taken = isNear ? Math.min(rest, line.quantity) : 0
      line.quantity -= taken
      rest -= taken
    }
  }
  return left.filter(({ quantity }) => quantity > 0)
}
