// What a check of a rule is: the facts of a plan in, violations out.
import type { Facts } from '../facts/facts.ts'
import type { RuleNumber, Violation } from '../facts/violation.ts'

/** One check: the rule numbers under which it reports, and what it finds. */
export interface Check {
  rules: readonly RuleNumber[]
  find(facts: Facts): Violation[]
}
