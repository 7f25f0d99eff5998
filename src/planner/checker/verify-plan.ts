// The last step of every plan: its cost, and the judgement of the independent checker.

import type { Plan, Problem } from '../documents/problem.ts'
import { currentChanges } from './baseline-changes.ts'
import { checkDecided } from './check-plan.ts'

/** Adds the cost and lets the checker judge: nothing leaves the planner unchecked. */
export function verifyPlan(problem: Problem, decided: Omit<Plan, 'cost'>): Plan {
  const settled = currentChanges(problem, decided)
  const { violations, cost } = checkDecided(problem, settled)
  if (violations.length > 0) {
    const shown = violations.slice(0, 5).map((each) => `${each.rule}: ${each.message}`)
    throw new Error(`the planner made an invalid plan (a fault of ours): ${shown.join('; ')}`)
  }
  return { ...settled, cost }
}
