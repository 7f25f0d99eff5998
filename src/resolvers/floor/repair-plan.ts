// The plan in force becomes valid for the records again, in the transaction of whatever changed them: what holds stays, what
// lost its beer, vessel or container is placed anew, promises first.
import { randomUUID } from 'node:crypto'
import { todayIn } from '../../clock.ts'
import { runBatchedStatement } from '../../database/batched-statement.ts'
import type { Locked } from '../../database/distributor-lock.ts'
import { type CarriedOut, planAfter } from '../../floor/carried-out.ts'
import { deltaBetween, type OrderLine, type Plan, type Problem, withPartsOf } from '../../planner/documents/index.ts'
import {
  byUrgency,
  costIfValid,
  followPlan,
  type LivePlan,
  openLivePlan,
  type TrialAnswer,
} from '../../planner/index.ts'
import { deltaWrites } from '../../records/change-plan.ts'
import { loadPlanInForce } from '../../records/load-plan.ts'
import { loadProblem, type ProblemOptions } from '../../records/load-problem.ts'
import { sitesIn } from '../../records/plan-rows.ts'
import { inForceOf, type Snapshot } from '../../records/snapshots.ts'
import type { Actor } from '../actor.ts'
import { type Cause, noteRisks } from '../orders/note-risks.ts'
import { lookForBetter } from '../plans/better-plan.ts'
import type { PlanRepair } from '../written.ts'

/** What a repair did to the plan in force, with what is kept in memory. */
export interface Repaired extends PlanRepair {
  /** The records as they are once it is committed, but for their version. */
  snapshot: Snapshot
}

/** The plan in force as a writer who holds the lock finds it. */
export interface InForceNow {
  id: string
  /** As its rows say it. */
  plan: Plan
  /** The records as they are in memory, before the writer changes them. Absent: they have to be read. */
  known?: Snapshot
}

/**
 * The plan in force; undefined where none is. To be asked for before anything is written. Known are records of today; or `OF_ANY_DAY`,
 * for one who reads anew what follows from the day.
 */
export async function planInForce(
  { distributorId, clock, snapshots }: Actor,
  { tx, timeZone, ...version }: Pick<Locked, 'tx' | 'revision' | 'epoch' | 'timeZone'>,
  day?: 'OF_ANY_DAY',
): Promise<InForceNow | undefined> {
  const known = snapshots?.inMemoryLocked(distributorId, version, day ?? todayIn(clock, timeZone))
  if (known) return known.inForce && { id: known.inForce.planId, plan: known.inForce.plan, known }
  return loadPlanInForce(tx, distributorId)
}

/** What has changed that the plan in force has to follow. */
export interface RecordsChange {
  /** What was carried out of it, oldest first. */
  done: readonly CarriedOut[]
  /** The ids of the order lines whose rows have changed. */
  lineIds: ReadonlySet<string>
  /** Whether plans may be able to do more than before: broken promises are tried again. */
  mayHelp: boolean
  /** Whether containers moved at accounts, on the road or among those to be washed. */
  containersOut: boolean
  /** Whether set-up has changed: callers may ask for other things than before, even where plans have nothing to follow. */
  ofSetup?: boolean
}

/** A change of set-up: it carries nothing out and changes no order line. */
export const SETUP_CHANGE: RecordsChange = {
  ...{ done: [], lineIds: new Set(), mayHelp: true },
  ...{ containersOut: true, ofSetup: true },
}

/**
 * Brings the plan in force up to the records, which have changed, and to what was carried out of it; writes it and logs the
 * promises that are kept otherwise since. Answers undefined where no plan is in force.
 */
export async function repairPlan(
  actor: Actor,
  { tx, log, revision, epoch }: Pick<Locked, 'tx' | 'log' | 'revision' | 'epoch'>,
  inForce: InForceNow | undefined,
  change: RecordsChange,
  cause: Cause,
): Promise<Repaired | undefined> {
  const { distributorId, clock } = actor
  if (!inForce) return undefined
  const { id, plan: before, known } = inForce
  const { done, mayHelp, ofSetup = false } = change
  // The change may be of the zone.
  const distributor = await tx.distributor.findUniqueOrThrow({ where: { id: distributorId } })
  const { timeZone, betterPlans } = distributor
  const today = todayIn(clock, timeZone)
  const { problem, reserved, lastOrder, rows } = await loadProblem(tx, distributorId, {
    ...{ today, at: 'BEFORE_SWEEP', distributor },
    ...(known ? { known: unchanged(known, change, inForce) } : {}),
  })
  if (known && !ofSetup && done.length === 0 && isSameForPlans(known.problem, problem))
    return { snapshot: { ...known, revision, rows }, before, carried: before, after: before }
  if (betterPlans !== 'NEVER') await lookForBetter({ tx, clock }, distributorId)
  const carried = planAfter(before, done, problem.orderLines)
  const follows = ofSetup ? undefined : known?.inForce?.opened
  const held = heldPlan(actor, problem, carried, { mayHelp, follows })
  if (!held) return undefined
  const { plan, live } = held
  const horizon = { today, horizonDays: problem.horizonDays }
  await runBatchedStatement(
    tx,
    await deltaWrites(tx, distributorId, id, deltaBetween(before, plan), sitesIn(problem), horizon),
  )
  await noteRisks(tx, log, { distributorId, problem, before: [before, before], after: plan }, cause)
  // What it moved was said of the plan before it: from now on it is the plan in force, as its rows are read.
  const now = plan.moved?.length ? { ...plan, moved: [] } : plan
  live?.heldAs(now)
  const after = { ...problem, baseline: now }
  const snapshot = { distributorId, revision, epoch, today, problem: after, reserved, lastOrder, rows }
  return {
    snapshot: { ...snapshot, inForce: inForceOf(after, id, now, { live, isValid: true, follows }) },
    before,
    carried,
    after: plan,
  }
}

/** What of the records in memory a writer has not changed. */
function unchanged(
  { problem: { orderLines }, reserved, lastOrder, rows: known }: Snapshot,
  { lineIds: changed, containersOut, ofSetup = false }: RecordsChange,
  baseline: InForceNow,
): ProblemOptions['known'] {
  const containers = containersOut ? undefined : known?.containers
  const rows = ofSetup || !known ? undefined : { setup: known.setup, containers }
  return { orderLines, reserved, lastOrder, changed, baseline, ...(rows ? { rows } : {}) }
}

/** Whether plans have nothing to follow: the records differ in nothing that they know. */
function isSameForPlans(before: Problem, after: Problem): boolean {
  const { orderLines: were, baseline: _, ...rest } = before
  const { orderLines: are, baseline: __, ...now } = after
  const areSame = were.length === are.length && are.every((line, index) => line === were[index])
  const isSame = (a: unknown, b: unknown) => JSON.stringify(a) === JSON.stringify(b)
  // First what facts change most.
  return areSame && isSame(rest.stock, now.stock) && isSame(rest.batches, now.batches) && isSame(rest, now)
}

/**
 * The plan for the records as they are now: as it is where it keeps all rules and no promise can be kept again, else repaired
 * and open: the one that is open already follows where it can. Undefined where it cannot be opened.
 */
function heldPlan(
  { onFault }: Actor,
  problem: Problem,
  carried: Plan,
  { mayHelp, follows }: { mayHelp: boolean; follows: LivePlan | undefined },
): { plan: Plan; live?: LivePlan } | undefined {
  const live = withFaults(onFault, () => follows && followPlan(follows, { ...problem, baseline: carried }, carried))
  if (live) {
    const again = tryAgain(live, problem, carried, mayHelp)
    return { plan: withPartsOf(again.held, carried), live: again }
  }
  const cost = costIfValid({ ...problem, baseline: carried }, carried)
  const isKept = cost !== undefined
  const plan = isKept ? { ...carried, cost } : carried
  // It follows, or is opened, when it is first asked something: facts that come one after the other need that once.
  if (isKept && !(mayHelp && plan.brokenPromises?.length)) return { plan }
  const based = { ...problem, baseline: plan }
  const holding = withFaults(onFault, () => openLivePlan(based, plan, isKept))
  if (!holding) return undefined
  const again = tryAgain(holding, problem, plan, mayHelp)
  return { plan: withPartsOf(again.held, carried), live: again }
}

/** The plan with promises kept again: all that may be, or those that it has just lost, which may have the beer of a wish. */
function tryAgain(live: LivePlan, problem: Problem, { brokenPromises }: Plan, mayHelp: boolean): LivePlan {
  const before = new Set(brokenPromises?.map(({ orderLineId }) => orderLineId))
  return keptAgain(live, problem, (id) => mayHelp || !before.has(id))
}

/** The plan opened for the records; undefined where it cannot be, which is a fault of ours and undoes no one's change. */
function withFaults(onFault: Actor['onFault'], open: () => LivePlan | undefined): LivePlan | undefined {
  try {
    return open()
  } catch (error) {
    onFault?.(error, randomUUID())
    return undefined
  }
}

/** So many promises are tried in vain with one change of the records; then the rest wait for the next, or for a better plan. */
const MOST_IN_VAIN = 8

/**
 * The plan with promises that it does not keep kept again, where the records allow it without moving any but wishes: of the lines
 * that `mayBe` names the most urgent first.
 */
function keptAgain(live: LivePlan, problem: Problem, mayBe: (lineId: string) => boolean): LivePlan {
  const broken = new Set((live.held.brokenPromises ?? []).map(({ orderLineId }) => orderLineId).filter(mayBe))
  const lines = problem.orderLines.filter(({ id }) => broken.has(id)).sort(byUrgency)
  let [plan, inVain] = [live, 0]
  for (const line of lines) {
    if (inVain === MOST_IN_VAIN) break
    const kept = keptIn(plan, line)
    if (kept) plan = kept
    else inVain += 1
  }
  return plan
}

/** The plan with the promise of a line kept, where none but wishes has to move; undefined where that cannot be. */
function keptIn(plan: LivePlan, line: OrderLine): LivePlan | undefined {
  const placed = { ...line, latestServeOn: line.promisedOn }
  const isKept = ({ served, quantity, serveOn }: TrialAnswer) =>
    served === quantity && (serveOn ?? '') <= (line.promisedOn ?? '')
  // Asked first without reasons: to explain what cannot be had takes long.
  const { answers, next, inPlace } = plan.propose(new Set([line.id]), (trial) =>
    trial.promise([placed], { unexplained: true }).every(isKept) ? [{ placed, wanted: line }] : [],
  )
  return inPlace && answers.length > 0 && answers.every(isKept) ? next : undefined
}
