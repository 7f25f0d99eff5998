// The plan in force follows a change of lines.
import { dateOf } from '../../database/calendar-day.ts'
import type { TransactionClient } from '../../database/client.ts'
import { changePlan } from '../../records/change-plan.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import type { Changed } from './replan.ts'

/** Writes what a change makes of the plan in force, whose horizon is now the problem's. */
export async function writePlan(tx: TransactionClient, snapshot: Snapshot, { plan, problem }: Changed): Promise<void> {
  const { distributorId, inForce } = snapshot
  if (!inForce || !plan) return
  await changePlan(tx, distributorId, inForce.planId, inForce.plan, plan)
  await tx.plan.update({
    where: { distributorId_id: { distributorId, id: inForce.planId } },
    data: { today: dateOf(problem.today), horizonDays: problem.horizonDays },
  })
}
