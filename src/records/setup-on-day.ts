// The set-up as the planner knows it on a day: with what the facts of today leave of it.
import { dateOf } from '../database/calendar-day.ts'
import type { TransactionClient } from '../database/client.ts'
import { KINDS_THAT_USE_UP, leftOfDays } from '../floor/left-of-days.ts'
import type { LocalDate } from '../planner/documents/index.ts'
import { EFFECTIVE, factOf } from './fact-rows.ts'
import type { SetupRows } from './setup-rows.ts'
import { type SetupPart, setupToProblem } from './setup-to-problem.ts'

/** The set-up for a horizon of `today` to `lastDay`, less what facts of today, or later where a site is ahead, used up. */
export async function setupOnDay(
  tx: TransactionClient,
  distributorId: string,
  rows: SetupRows,
  { today, lastDay }: { today: LocalDate; lastDay: LocalDate },
): Promise<SetupPart> {
  const facts = await tx.fact.findMany({
    where: { distributorId, ...EFFECTIVE, on: { gte: dateOf(today) }, kind: { in: [...KINDS_THAT_USE_UP] } },
    orderBy: { number: 'asc' },
  })
  return leftOfDays(setupToProblem(rows, today, lastDay), facts.map(factOf))
}
