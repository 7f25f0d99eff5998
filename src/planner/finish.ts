// The last step of every plan: its cost, and the judgement of the independent checker.
import { checkPlan, planCost } from './checker/check-plan.ts'
import type { Plan, Problem } from './problem.ts'

/** Adds the cost and lets the checker judge: nothing leaves the planner unchecked. */
export function finished(problem: Problem, decided: Omit<Plan, 'cost'>): Plan {
  const plan: Plan = {
    ...decided,
    cost: { total: 0, terms: planCost(problem, { ...decided, cost: EMPTY_COST }).terms },
  }
  plan.cost = planCost(problem, plan)
  const { violations } = checkPlan(problem, plan)
  if (violations.length > 0) {
    const shown = violations.slice(0, 5).map((each) => `${each.rule}: ${each.message}`)
    throw new Error(`the planner made an invalid plan (a fault of ours): ${shown.join('; ')}`)
  }
  return plan
}

/** The cost of a plan that nobody has reckoned yet. */
export const EMPTY_COST: Plan['cost'] = {
  total: 0,
  terms: {
    unservedPromised: 0,
    unserved: 0,
    latePromised: 0,
    late: 0,
    dumped: 0,
    unsold: 0,
    brew: 0,
    setup: 0,
    drop: 0,
    standing: 0,
    churn: 0,
  },
}
