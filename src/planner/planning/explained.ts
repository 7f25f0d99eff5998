// A decided plan with its reasons: of what is late or not served, and of what is moved of the plan in force.
import { currentChanges, freeChanges, type WhyDropped } from '../checker/baseline-changes.ts'
import { verifyPlan } from '../checker/verify-plan.ts'
import { NO_COST, type Plan, type Problem } from '../documents/problem.ts'
import { explainerByPriority, PLAN_RELIEFS } from '../explanation/explain.ts'
import type { State } from '../model/state.ts'
import { exportPlan, joinedVerdicts, verdictsOf } from '../opening/export.ts'
import type { Moved } from '../opening/fixed.ts'
import { reopenAsMade } from '../opening/reopen.ts'

/** What is known of how the plan in force fared. */
interface Fared {
  moved: Moved[]
  dropped: WhyDropped
}

/**
 * The plan with the reasons of what is late or not served, found in the plan as opened from its document, and of what is
 * moved of the plan in force. `passed` says how much of the time for the former has gone, where a clock limits it (`ReliefEffort`).
 */
export function explained(
  problem: Problem,
  state: State,
  fared: Fared | undefined,
  passed?: () => number,
): Omit<Plan, 'cost'> {
  const bare = currentChanges(
    problem,
    exportPlan(state, fared?.moved ?? [], () => []),
  )
  const moved = fared ? [...(bare.moved ?? []), ...freeChanges(problem, bare, fared.dropped)] : []
  if (bare.unserved.length === 0 && bare.late?.length === 0) return { ...bare, moved }
  const opened = reopenAsMade(problem, { ...bare, cost: NO_COST }, state.model)
  const explain = explainerByPriority(opened, passed ? { ...PLAN_RELIEFS, passed } : PLAN_RELIEFS)
  const verdicts = state.model.lines.map((line) =>
    verdictsOf(state, line, ({ index }) => opened.model.lines.slice(index, index + 1).flatMap((each) => explain(each))),
  )
  return { ...bare, moved, ...joinedVerdicts(verdicts) }
}

/**
 * A valid plan that was found without the search, in which all that had to stay of the plan in force stays, as a plan of the
 * planner's: with its reasons, and checked. It may cost more where the planner's own state does not hold all of it.
 */
export function adoptPlan(problem: Problem, plan: Plan): Plan {
  const fared = problem.baseline && { moved: [], dropped: { why: () => undefined } }
  return verifyPlan(problem, explained(problem, reopenAsMade(problem, plan), fared))
}
