// The plan in force becomes valid for the records again, in the transaction of whatever changed them: what holds stays, what
// lost its beer, vessel or container is placed anew, promises first.
import { randomUUID } from 'node:crypto'
import { todayIn } from '../../clock.ts'
import { runBatchedStatement } from '../../database/batched-statement.ts'
import type { TransactionClient } from '../../database/client.ts'
import type { Locked } from '../../database/distributor-lock.ts'
import { type CarriedOut, planAfter } from '../../floor/carried-out.ts'
import { deltaBetween, type Plan, type Problem } from '../../planner/documents/index.ts'
import { type LivePlan, openLivePlan, type TrialAnswer } from '../../planner/index.ts'
import { deltaWrites } from '../../records/change-plan.ts'
import { loadPlan } from '../../records/load-plan.ts'
import { loadProblem } from '../../records/load-problem.ts'
import { readSites } from '../../records/plan-rows.ts'
import { inForceOf, type Snapshot } from '../../records/snapshots.ts'
import type { Actor } from '../actor.ts'
import { type Cause, noteRisks } from '../orders/note-risks.ts'

/** What a repair did to the plan in force. */
export interface Repaired {
  /** The records as they are once it is committed, but for their revision. */
  snapshot: Snapshot
  before: Plan
  /** The plan without what was carried out of it: what a repair is compared with. */
  carried: Plan
  after: Plan
}

/** The plan in force as its rows say it; undefined where none is. */
export async function planInForce(
  tx: TransactionClient,
  distributorId: string,
): Promise<{ id: string; plan: Plan } | undefined> {
  const row = await tx.plan.findFirst({ where: { distributorId, status: 'IN_FORCE' }, select: { id: true } })
  return row ? { id: row.id, plan: await loadPlan(tx, distributorId, row.id) } : undefined
}

/**
 * Brings the plan in force up to the records, which have changed, and to what was carried out of it; writes it and logs the
 * promises that are kept otherwise since. Answers undefined where no plan is in force.
 */
export async function repairPlan(
  actor: Actor,
  { tx, log, revision }: Pick<Locked, 'tx' | 'log' | 'revision'>,
  inForce: { id: string; plan: Plan } | undefined,
  done: readonly CarriedOut[],
  cause: Cause,
): Promise<Repaired | undefined> {
  const { distributorId, clock } = actor
  if (!inForce) return undefined
  // The change may be of the zone.
  const { timeZone } = await tx.distributor.findUniqueOrThrow({
    where: { id: distributorId },
    select: { timeZone: true },
  })
  const today = todayIn(clock, timeZone)
  const { problem, reserved, lastOrder } = await loadProblem(tx, distributorId, { today, at: 'BEFORE_SWEEP' })
  const carried = planAfter(inForce.plan, done, problem.orderLines)
  const based = { ...problem, baseline: carried }
  const holding = opened(based, carried, actor.onFault)
  if (!holding) return undefined
  const live = keptAgain(holding, problem)
  // Where all of it holds it is the very plan that was given.
  const plan = live.held
  const sites = await readSites(tx, distributorId)
  const horizon = { today, horizonDays: problem.horizonDays }
  const delta = deltaBetween(inForce.plan, plan)
  await runBatchedStatement(tx, await deltaWrites(tx, distributorId, inForce.id, delta, sites, horizon))
  await noteRisks(tx, log, { distributorId, problem, before: [inForce.plan, inForce.plan], after: plan }, cause)
  const after = { ...problem, baseline: plan }
  const snapshot: Snapshot = {
    ...{ distributorId, revision, today, problem: after, reserved, lastOrder },
    inForce: inForceOf(after, inForce.id, plan, live),
  }
  return { snapshot, before: inForce.plan, carried, after: plan }
}

/** The plan opened for the records; undefined where it cannot be, which is a fault of ours and undoes no one's change. */
function opened(problem: Problem, plan: Plan, onFault: Actor['onFault']): LivePlan | undefined {
  try {
    return openLivePlan(problem, plan)
  } catch (error) {
    onFault?.(error, randomUUID())
    return undefined
  }
}

/** Most promises that are tried again with one change of the records. */
const MOST_TRIED = 50

/**
 * The plan with promises that it did not keep kept again, where the records allow it now without moving anyone else: the most
 * urgent first.
 */
function keptAgain(live: LivePlan, problem: Problem): LivePlan {
  const broken = new Set((live.held.brokenPromises ?? []).map(({ orderLineId }) => orderLineId))
  const lines = problem.orderLines.filter(({ id }) => broken.has(id)).slice(0, MOST_TRIED)
  return lines.reduce((plan, line) => {
    const placed = { ...line, latestServeOn: line.promisedOn }
    const isKept = ({ served, quantity, serveOn }: TrialAnswer) =>
      served === quantity && (serveOn ?? '') <= (line.promisedOn ?? '')
    // Asked first without reasons: to explain what cannot be had takes long.
    const { answers, next, inPlace } = plan.propose(new Set([line.id]), (trial) =>
      trial.promise([placed], { unexplained: true }).every(isKept) ? [{ placed, wanted: line }] : [],
    )
    return inPlace && answers.length > 0 && answers.every(isKept) ? next : plan
  }, live)
}
