// The days on which the demo is tried: fourteen in a row from an ordinary day, and from before each change of clocks.

import type { LocalDate } from '../../src/planner/documents/index.ts'
import { addDays } from '../../src/planner/documents/index.ts'

/** Fourteen consecutive days in June, and before the clocks of Europe/London change in March and October. */
export const DEMO_TODAYS: readonly LocalDate[] = ['2027-06-02', '2027-03-17', '2026-10-14'].flatMap((first) =>
  Array.from({ length: 14 }, (_, offset) => addDays(first, offset)),
)
