// The plan in force follows a change of lines.
import type { Prisma, TransactionClient } from '../../database/client.ts'
import { joinedDeltas } from '../../planner/plan-delta.ts'
import { deltaWrites } from '../../records/change-plan.ts'
import { sitesIn } from '../../records/plan-rows.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import type { Changed } from './replan.ts'

/** What writes, at once, what a change makes of the plan in force, whose horizon is now the problem's. */
export async function planWrites(
  tx: TransactionClient,
  before: Snapshot,
  { proposal }: Changed,
): Promise<Prisma.Sql[]> {
  const { distributorId, inForce, problem } = before
  if (!inForce || !proposal) return []
  const unwritten = inForce.unwritten()
  const delta = unwritten ? joinedDeltas(unwritten, proposal.delta) : proposal.delta
  return deltaWrites(tx, distributorId, inForce.planId, delta, sitesIn(problem), problem)
}
