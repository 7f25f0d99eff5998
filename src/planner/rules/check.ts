// What a check of a rule is: the facts of a plan in, violations out.
import type { Facts } from '../facts/facts.ts'
import type { Breakable, Violation } from '../facts/violation.ts'

/** One check: the rule numbers under which it reports, and what it finds. */
export interface Check {
  rules: readonly Breakable[]
  find(facts: Facts): Violation[]
}
