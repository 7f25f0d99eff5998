// The independent checker: whether a plan keeps every planning rule, and what it costs. It derives everything from
// the problem and the plan alone and shares no code with the search that makes plans.
import { NO_COST, type Plan, type Problem } from '../documents/problem.ts'
import { deriveFacts } from '../facts/facts.ts'
import type { Violation } from '../facts/violation.ts'
import type { Check } from '../rules/check.ts'
import { RULE_CHECKS } from '../rules/checks.ts'
import { isBrokenAtOnce } from './broken-at-once.ts'
import { costOf, type PlanCost, statedCost } from './cost.ts'

export type { Breakable, Violation } from '../facts/violation.ts'
export type { PlanCost } from './cost.ts'
export { planCost } from './cost.ts'

/** Every check: of the rules, and of the cost that the plan states. */
export const CHECKS: readonly Check[] = [...RULE_CHECKS, { rules: ['COST'], find: statedCost }]

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

/** The same of a plan that states no cost yet. */
export function checkDecided(problem: Problem, decided: Omit<Plan, 'cost'>): CheckResult {
  const facts = deriveFacts(problem, { ...decided, cost: NO_COST })
  return { violations: RULE_CHECKS.flatMap(({ find }) => find(facts)), cost: costOf(facts) }
}

/** What a plan costs, whatever it states; undefined where it breaks a rule: nothing is looked at after the first that it breaks. */
export function costIfValid(problem: Problem, plan: Plan): PlanCost | undefined {
  if (isBrokenAtOnce(problem, plan)) return undefined
  const facts = deriveFacts(problem, plan)
  return RULE_CHECKS.some(({ find }) => find(facts).length > 0) ? undefined : costOf(facts)
}
