// When a container that is out is expected back, and when it counts as missing.
import { addDays, type LocalDate, laterOf } from '../../planner/documents/index.ts'

/** So many days after the expected day a container is still expected, on the next route day; then it is missing (from memory). */
export const DAYS_OVERDUE = 14

/** How a container that is out stands: `UNKNOWN` where nothing says when it comes back. */
export type Outlook = 'DUE' | 'OVERDUE' | 'MISSING' | 'UNKNOWN'

/** How one stands that is expected on a day; `LONG_AGO`: before the records go back. */
export function outlookOf(expectedOn: LocalDate | 'LONG_AGO' | undefined, today: LocalDate): Outlook {
  if (expectedOn === undefined) return 'UNKNOWN'
  if (expectedOn === 'LONG_AGO' || addDays(expectedOn, DAYS_OVERDUE) < today) return 'MISSING'
  return expectedOn < today ? 'OVERDUE' : 'DUE'
}

/** The day on which plans count on it; undefined where they do not. An overdue one is expected on the next route day. */
export function countedOn(
  expectedOn: LocalDate | 'LONG_AGO' | undefined,
  today: LocalDate,
  nextRouteDay: LocalDate,
): LocalDate | undefined {
  switch (outlookOf(expectedOn, today)) {
    case 'DUE':
      return expectedOn
    case 'OVERDUE':
      return laterOf(today, nextRouteDay)
    default:
      return undefined
  }
}
