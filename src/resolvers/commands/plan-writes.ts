// The rows of the plan in force follow a change of lines.
import type { Prisma, TransactionClient } from '../../database/client.ts'
import { joinedDeltas, type PlanDelta } from '../../planner/documents/index.ts'
import { deltaWrites } from '../../records/change-plan.ts'
import { sitesIn } from '../../records/plan-rows.ts'
import type { Snapshot } from '../../records/snapshots.ts'

/** The writes that turn the rows of the plan in force into what the changes make of it; its horizon is now that of the problem. */
export async function planWrites(
  tx: TransactionClient,
  before: Snapshot,
  changes: readonly PlanDelta[],
): Promise<Prisma.Sql[]> {
  const { distributorId, inForce, problem } = before
  if (!inForce || changes.length === 0) return []
  const unwritten = inForce.unwritten()
  const delta = [...(unwritten ? [unwritten] : []), ...changes].reduce(joinedDeltas)
  return deltaWrites(tx, distributorId, inForce.planId, delta, sitesIn(problem), problem)
}
