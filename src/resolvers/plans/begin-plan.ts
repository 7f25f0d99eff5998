// The row of a plan that is made beside the plan in force: it says of which records it is made, and has no decisions yet.
import { dateOf } from '../../database/calendar-day.ts'
import type { Prisma, TransactionClient } from '../../database/client.ts'
import { DEFAULT_COSTS } from '../../planner/documents/index.ts'
import type { LoadedProblem } from '../../records/load-problem.ts'

/** What is said of a plan beside the records that it is made of. */
type Begun = Pick<Prisma.PlanUncheckedCreateInput, 'id' | 'seed' | 'createdAt' | 'without' | 'saves'>

/** Writes the row, with the status `SOLVING`. */
export async function beginPlan(
  tx: TransactionClient,
  distributorId: string,
  { problem, revision, baselineId }: LoadedProblem,
  begun: Begun,
): Promise<void> {
  const { today, horizonDays, frozenDays, costs } = problem
  await tx.plan.create({
    data: {
      ...{ distributorId, status: 'SOLVING', ...begun },
      ...{ fromRevision: revision, baselineId: baselineId ?? null, today: dateOf(today), horizonDays, frozenDays },
      costs: { ...DEFAULT_COSTS, ...costs },
    },
  })
}
