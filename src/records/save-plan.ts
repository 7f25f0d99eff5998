// A plan to rows, set by set.
import type { TransactionClient } from '../database/client.ts'
import type { Plan } from '../planner/problem.ts'
import { planRows, readSites } from './plan-rows.ts'

/**
 * Writes the decisions, verdicts and cost of `plan` under the row of the plan `planId`, which exists and has none yet.
 * Its status stays; the caller sets it.
 */
export async function savePlan(
  tx: TransactionClient,
  distributorId: string,
  planId: string,
  plan: Plan,
): Promise<void> {
  const rows = planRows(distributorId, planId, plan, await readSites(tx, distributorId))
  await tx.plannedBrew.createMany({ data: rows.brews })
  await tx.plannedTransfer.createMany({ data: rows.transfers })
  await tx.fillRun.createMany({ data: rows.fillRuns })
  await tx.delivery.createMany({ data: rows.deliveries })
  await tx.deliverySource.createMany({ data: rows.sources })
  await tx.dump.createMany({ data: rows.dumps })
  await tx.planVerdict.createMany({ data: rows.verdicts })
  await tx.planMove.createMany({ data: rows.moved })
  await tx.plan.update({
    where: { distributorId_id: { distributorId, id: planId } },
    data: { costTotal: plan.cost.total, costTerms: plan.cost.terms },
  })
}
