// A plan, opened so that it goes on serving whom it serves: where a day has passed, or containers do not come back because
// an order was cancelled, some deliveries no longer hold; their lines are placed anew. What no line takes and holds no more,
// such as a run to stock from a batch that is late, is dropped.
import { costIfValid } from '../checker/check-plan.ts'
import { deliveredByLine } from '../documents/delivered-by-line.ts'
import { firstServes, notBroughtForward } from '../documents/frozen-promises.ts'
import type { OrderLine, Plan, Problem } from '../documents/problem.ts'
import { withoutLines } from '../documents/without-lines.ts'
import { element } from '../model/element.ts'
import type { State } from '../model/state.ts'
import { UndoLog } from '../model/undo-log.ts'
import type { Moved } from '../opening/fixed.ts'
import { reopen } from '../opening/reopen.ts'
import type { Coming } from './line-steps.ts'
import { type Trial, trialIn } from './trial.ts'

export interface CarriedPlan {
  plan: Plan
  /** The plan, open for trial placements. */
  trial: Trial
}

/** The same with the state in which it is open. */
export interface OpenCarriedPlan extends CarriedPlan {
  state: State
}

/**
 * Opens a plan for a problem that may have moved on since. Where all of it holds it is the plan itself; else it is one that
 * keeps all rules: lines that lost their delivery are placed anew, promised ones first, and served late or not at all only
 * where they must be, and what holds no more and no line takes is dropped.
 */
export function carryForward(problem: Problem, plan: Plan): CarriedPlan {
  return openCarried(problem, plan)
}

/** As `carryForward`, for who goes on with the state. */
export function openCarried(problem: Problem, plan: Plan): OpenCarriedPlan {
  const { open, lost } = openWithLost(problem, plan)
  if (lost.length > 0) return opened(problem, placedAnew(problem, plan, open, lost))
  return keepsRules(problem, plan) ? open : opened(problem, open.trial.commit([]).plan)
}

/** A plan opened once, and the lines that it serves no more. */
export interface WithLost {
  open: OpenState
  lost: OrderLine[]
}

/** Opens a plan as far as it holds: what was filled for lines that it lost is filled no more. */
export function openWithLost(problem: Problem, plan: Plan): WithLost {
  const served = deliveredByLine(plan.deliveries)
  const open = opened(problem, plan)
  const lost = problem.orderLines.filter(({ id }) => open.trial.served(id) < (served.get(id)?.quantity ?? 0))
  return { open, lost }
}

/** Lines that a plan lost, as they are to be placed anew: none brought forward within the frozen days, those first that matter most. */
export function asPlacedAnew(problem: Problem, plan: Plan, lost: readonly OrderLine[]): Coming[] {
  const first = firstServes(plan.deliveries)
  return [...lost].sort(byUrgency).map((wanted) => {
    return { placed: notBroughtForward(problem, wanted, first.get(wanted.id)), wanted }
  })
}

/** The plan with the lines that it lost in it again, as well as can be. */
function placedAnew(problem: Problem, plan: Plan, { state, moved }: OpenState, lost: readonly OrderLine[]): Plan {
  const ids = new Set(lost.map(({ id }) => id))
  const others = problem.orderLines.filter(({ id }) => !ids.has(id))
  const log = new UndoLog(state)
  const { lines, indexOf } = state.model
  for (const id of ids) log.leave(element(lines, indexOf.line.get(id) ?? -1))
  const { commit } = trialIn({
    ...{ state, moved, plan: () => withoutLines(problem, plan, ids) },
    based: () => ({ ...problem, orderLines: others, baseline: plan }),
  })
  return commit(asPlacedAnew(problem, plan, lost).map(({ placed }) => placed)).plan
}

/** Whether the plan is one of the problem as it is. What it moved and cost is not asked: that was said of the plan before it. */
export function keepsRules(problem: Problem, plan: Plan): boolean {
  return costIfValid({ ...problem, baseline: plan }, { ...plan, moved: [] }) !== undefined
}

/** The same with the decisions that were to stay and could not (F1). */
export interface OpenState extends OpenCarriedPlan {
  moved: Moved[]
}

function opened(problem: Problem, plan: Plan): OpenState {
  const { based, state, moved } = reopen(problem, plan)
  return { plan, state, moved, trial: trialIn({ state, moved, plan: () => plan, based: () => based }) }
}

/** Promised lines first, then by priority, then by day. */
export function byUrgency(a: OrderLine, b: OrderLine): number {
  const promised = Number(b.promisedOn !== undefined) - Number(a.promisedOn !== undefined)
  const day = (line: OrderLine) => line.promisedOn ?? line.serveOn
  return promised || a.priority - b.priority || (day(a) < day(b) ? -1 : day(a) > day(b) ? 1 : 0)
}
