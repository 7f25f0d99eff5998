// A plan, opened to be followed from change to change. Lines that it lost are placed anew in the state in which it is open already.
import { verifyPlan } from '../checker/verify-plan.ts'
import type { OrderLine, Plan, Problem } from '../documents/problem.ts'
import { explainer, PLAN_RELIEFS } from '../explanation/explain.ts'
import { reuseReasons } from '../explanation/reuse-reasons.ts'
import { keepsRules, type OpenState, openWithLost } from './carry-forward.ts'
import { knowDecisions, namesOfDecisions } from './decision-names.ts'
import { LivePlan, livePlanOf } from './live-plan.ts'
import { LiveState } from './live-state.ts'
import { withLostAgain } from './lost-again.ts'
import { PlanEdit } from './plan-edit.ts'

/**
 * Opens a plan for a problem that may have moved on since, so that it goes on serving whom it serves (`carryForward`). Whether it
 * keeps all rules `isValid` says to who knows it already.
 */
export function openLivePlan(problem: Problem, plan: Plan, isValid?: boolean): LivePlan {
  const { open, lost } = openWithLost(problem, plan)
  if (lost.length === 0 && (isValid ?? keepsRules(problem, plan))) return livePlanOf(problem, open)
  const whole = reopened(problem, plan, open, lost)
  return whole.heldAs(verifyPlan({ ...problem, baseline: plan }, { ...whole.plan, moved: open.moved }))
}

/** The plan without what holds no more, and with the lines that it lost in it again. */
function reopened(problem: Problem, plan: Plan, { state }: OpenState, lost: readonly OrderLine[]): LivePlan {
  const ids = new Set(lost.map(({ id }) => id))
  const explain = reuseReasons(state, plan, explainer(state, PLAN_RELIEFS))
  const names = namesOfDecisions(state, plan)
  if (!names) throw new Error('the state was opened from another plan')
  // What they lack is explained once they are placed.
  const live = new LiveState(problem, plan, state, (line) => (ids.has(line.id) ? [] : explain(line)))
  const rest = new LivePlan(live, { ...problem, baseline: undefined })
  if (lost.length === 0) return rest
  knowDecisions(state, new PlanEdit(state), names)
  return withLostAgain(rest, { problem, plan }, lost, names)
}
