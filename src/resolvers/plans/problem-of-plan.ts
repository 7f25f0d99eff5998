// The problem that a stored plan answers, by the records as they are: on the plan's own days, at its own prices.
import { dayOf } from '../../database/calendar-day.ts'
import type { Prisma, TransactionClient } from '../../database/client.ts'
import { costsShape } from '../../planner/documents/index.ts'
import { type LoadedProblem, loadProblem } from '../../records/load-problem.ts'

type PlanRow = Prisma.PlanGetPayload<object>

/** Reads the problem of the plan that the row is of, as it is at the instant `at`. */
export function loadProblemOfPlan(
  tx: TransactionClient,
  { distributorId, today, horizonDays, frozenDays, costs }: PlanRow,
  at: Date,
): Promise<LoadedProblem> {
  const options = { today: dayOf(today), at, horizonDays, frozenDays, costs: costsShape.parse(costs) }
  return loadProblem(tx, distributorId, options)
}
