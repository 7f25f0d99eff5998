// The independent checker: whether a plan keeps every planning rule, and what it costs. It derives everything from
// the problem and the plan alone and shares no code with the search that makes plans.
import type { Plan, Problem } from '../problem.ts'
import { costOf, type PlanCost } from './cost.ts'
import { deriveFacts } from './facts/facts.ts'
import { CHECKS } from './registry.ts'
import type { Violation } from './violation.ts'

export type { PlanCost } from './cost.ts'
export { planCost } from './cost.ts'
export type { RuleNumber, Violation } from './violation.ts'

/** What the checker finds: every breach of a rule, and the plan's cost as recomputed (section 8). */
export interface CheckResult {
  violations: Violation[]
  cost: PlanCost
}

/**
 * Checks a plan against a parsed problem. The plan is valid if there are no violations. It may name what is not there
 * (such parts are reported under `DOCUMENT` and count nothing); a problem that does so throws a RangeError.
 */
export function checkPlan(problem: Problem, plan: Plan): CheckResult {
  const facts = deriveFacts(problem, plan)
  return { violations: CHECKS.flatMap(({ find }) => find(facts)), cost: costOf(facts) }
}
