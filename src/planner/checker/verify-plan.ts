// The last step of every plan: its cost, and the judgement of the independent checker.

import { NO_COST, type Plan, type Problem } from '../documents/problem.ts'
import { currentChanges } from './baseline-changes.ts'
import { checkPlan, planCost } from './check-plan.ts'

/** Adds the cost and lets the checker judge: nothing leaves the planner unchecked. */
export function verifyPlan(problem: Problem, decided: Omit<Plan, 'cost'>): Plan {
  const settled = currentChanges(problem, decided)
  const plan: Plan = { ...settled, cost: planCost(problem, { ...settled, cost: NO_COST }) }
  const { violations } = checkPlan(problem, plan)
  if (violations.length > 0) {
    const shown = violations.slice(0, 5).map((each) => `${each.rule}: ${each.message}`)
    throw new Error(`the planner made an invalid plan (a fault of ours): ${shown.join('; ')}`)
  }
  return plan
}
