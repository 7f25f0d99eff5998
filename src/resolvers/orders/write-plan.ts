// The plan in force follows a change of lines.
import type { TransactionClient } from '../../database/client.ts'
import { joinedDeltas } from '../../planner/plan-delta.ts'
import { writeDelta } from '../../records/change-plan.ts'
import { sitesIn } from '../../records/plan-rows.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import type { Changed } from './replan.ts'

/** Writes what a change makes of the plan in force, whose horizon is now the problem's. */
export async function writePlan(tx: TransactionClient, before: Snapshot, { proposal }: Changed): Promise<void> {
  const { distributorId, inForce, problem } = before
  if (!inForce || !proposal) return
  const unwritten = inForce.unwritten()
  const delta = unwritten ? joinedDeltas(unwritten, proposal.delta) : proposal.delta
  await writeDelta(tx, distributorId, inForce.planId, delta, sitesIn(problem), problem)
}
