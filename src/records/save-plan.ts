// A plan to rows, set by set.

import { Prisma, type TransactionClient } from '../database/client.ts'
import { insertRows } from '../database/insert-rows.ts'
import type { Plan } from '../planner/documents/index.ts'
import { type Bound, gapOf, type Unavoidable } from '../planner/index.ts'
import { type PlanRows, planRows, readSites, siteIn } from './plan-rows.ts'

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
  const sites = await readSites(tx, distributorId, { emptied: true })
  const brewSites = new Map(plan.brews.map(({ id, vesselId }) => [id, siteIn(sites, 'vessel', vesselId)]))
  await insertPlanRows(tx, planRows(distributorId, planId, plan, sites, brewSites))
  await saveCost(tx, distributorId, planId, plan)
}

/** Inserts rows in an order in which each finds what it refers to. */
async function insertPlanRows(tx: TransactionClient, rows: PlanRows): Promise<void> {
  await insertRows(tx, 'PlannedBrew', rows.brews)
  await insertRows(tx, 'PlannedTransfer', rows.transfers)
  await insertRows(tx, 'FillRun', rows.fillRuns)
  await insertRows(tx, 'Delivery', rows.deliveries)
  await insertRows(tx, 'DeliverySource', rows.sources)
  await insertRows(tx, 'Dump', rows.dumps)
  await insertRows(tx, 'PlanVerdict', rows.verdicts)
  await insertRows(tx, 'PlanMove', rows.moved)
}

/** Writes the cost of a plan into its row. A lower bound that was found for another state of it holds no longer. */
async function saveCost(tx: TransactionClient, distributorId: string, planId: string, { cost }: Plan): Promise<void> {
  await tx.plan.update({
    where: { distributorId_id: { distributorId, id: planId } },
    data: { costTotal: cost.total, costTerms: cost.terms, lowerBound: null, boundKind: null, gap: null },
  })
}

/** What a search found out. */
export interface SolvedPlan {
  plan: Plan
  /** Absent: no lower bound could be found. */
  bound?: Bound
  /** What is certain of its cost, part by part. */
  unavoidable?: Unavoidable
  statistics: { steps: number; seconds: number }
}

/** Writes a solved plan under its row, with how good it is at least; the status is the caller's. */
export async function saveSolved(
  tx: TransactionClient,
  distributorId: string,
  planId: string,
  { plan, bound, unavoidable, statistics }: SolvedPlan,
): Promise<void> {
  const { total } = plan.cost
  const { steps, seconds } = statistics
  await savePlan(tx, distributorId, planId, plan)
  const lowerBound = bound?.value ?? null
  const boundKind = bound?.kind ?? null
  await tx.plan.update({
    where: { distributorId_id: { distributorId, id: planId } },
    data: {
      steps,
      statistics,
      progress: { steps, bestCost: total, lowerBound, boundKind, seconds },
      lowerBound,
      boundKind,
      gap: lowerBound === null ? null : gapOf(total, lowerBound),
      unavoidable: unavoidable ?? Prisma.DbNull,
    },
  })
}
