// Is a relief true? It is applied to the problem document, and the planner is asked for the line again, beside everyone
// else that the plan serves.
import { verifyPlan } from '../checker/verify-plan.ts'
import { deliveredByLine } from '../documents/delivered-by-line.ts'
import type { OrderLine, Plan, Problem } from '../documents/problem.ts'
import { enterLine } from '../insertion/joint-insertion.ts'
import type { State } from '../model/state.ts'
import { UndoLog } from '../model/undo-log.ts'
import { exportPlan } from '../opening/export.ts'
import { reopen, withFrozenDaysAsMade } from '../opening/reopen.ts'
import { applyRelief, type Relief } from './apply-relief.ts'
import { explainer } from './explain.ts'
import { placedOnTime, withLineLifted } from './on-time.ts'
import { reuseReasons } from './reuse-reasons.ts'

/** A plan that serves a line on time by help of a relief, and the problem that it is a plan of. */
export interface Relieved {
  problem: Problem
  plan: Plan
}

/**
 * The plan with the line served on time once the relief is applied to the problem; undefined where the planner does not
 * serve it so, whatever that costs, while everyone else keeps what the plan serves them. This is the question that a
 * relief must answer with a plan, and one unit less of it with none. The whole plan is opened and the line lifted out of
 * it, as when the relief was sought: what it brings back or makes room for is missed by others if it is not served again.
 */
export function servedWith(problem: Problem, plan: Plan, lineId: string, relief: Relief): Relieved | undefined {
  const helped = applyRelief(problem, lineId, relief)
  const was = problem.orderLines.find(({ id }) => id === lineId)
  const asked = helped.orderLines.find(({ id }) => id === lineId)
  if (!was || !asked) return undefined
  // Last, so that it can be taken out; and as it was, so that what serves it is in the plan, and what it gives back to others.
  const others = problem.orderLines.filter((line) => line !== was)
  const opened = reopen(withFrozenDaysAsMade({ ...helped, orderLines: [...others, was] }), plan)
  const { based, state, moved } = opened
  if (!servesAll(state, plan, others)) return undefined
  const line = state.model.lines.at(-1)
  const placement = state.placements.at(-1)
  const log = new UndoLog(state)
  if (placement) log.lift(placement)
  if (line) log.leave(line)
  const again = enterLine(log, asked)
  const found = withLineLifted(state, again, () => placedOnTime(state, again))
  if (!found) return undefined
  log.place(found)
  const relieved: Problem = { ...based, orderLines: [...others, asked] }
  const explain = reuseReasons(state, plan, explainer(state, { trials: 0, perLine: 0 }))
  return { problem: relieved, plan: verifyPlan(relieved, exportPlan(state, moved, explain)) }
}

/** Does the state serve all that the plan serves? A relief that breaks a run of the plan takes it from others. */
function servesAll(state: State, plan: Plan, lines: readonly OrderLine[]): boolean {
  const served = deliveredByLine(plan.deliveries)
  return lines.every(({ id }) => {
    const index = state.model.indexOf.line.get(id)
    const delivered = (index === undefined ? undefined : state.placements[index])?.delivered ?? 0
    return delivered === (served.get(id)?.quantity ?? 0)
  })
}
