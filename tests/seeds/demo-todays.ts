// The days on which the demo is tried: in a row from an ordinary day and from before changes of clocks, and near holidays.

import type { LocalDate } from '../../src/planner/documents/index.ts'
import { addDays } from '../../src/planner/documents/index.ts'

/** Days whose horizon, or the weeks before them, have the holidays of Easter, Christmas and New Year, or two of May. */
export const NEAR_HOLIDAYS: readonly LocalDate[] = [
  // No brew day fits the festival's fill day: the batch fermented longer.
  '2024-12-27',
  '2026-12-14',
  '2026-12-24',
  '2027-12-20',
  '2028-01-02',
  '2028-04-03',
  '2028-04-12',
  '2028-05-30',
]

/**
 * Fourteen consecutive days in June, before the clocks of Europe/London change in March and October, and before
 * Christmas; and days near other holidays.
 */
export const DEMO_TODAYS: readonly LocalDate[] = ['2027-06-02', '2027-03-17', '2026-10-14', '2026-12-16']
  .flatMap((first) => Array.from({ length: 14 }, (_, offset) => addDays(first, offset)))
  .concat(NEAR_HOLIDAYS)
