// What the checker answers: violations under the rule numbers of the planning rules.

import type { LocalDate } from '../calendar/days.ts'
import { localDateOf } from '../calendar/days.ts'
import { RULE_NUMBERS } from '../documents/rule-numbers.ts'

/**
 * What a plan can break: the rule numbers, and two of our own: `DOCUMENT` for a plan that contradicts itself or names what is
 * not there (section 1), `COST` for a stated cost that is not the plan's (section 8).
 */
export const BREAKABLE = ['DOCUMENT', ...RULE_NUMBERS, 'COST'] as const

export type Breakable = (typeof BREAKABLE)[number]

/** One breach of one rule: what is wrong, the ids of what is involved, and the day where the rule is about a day. */
export interface Violation {
  rule: Breakable
  message: string
  ids: string[]
  day?: LocalDate
}

/** A violation on no particular day. */
export function violation(rule: Breakable, message: string, ...ids: string[]): Violation {
  return { rule, message, ids }
}

/** A violation on a day, given as days after today. */
export function violationOn(
  day: number,
  facts: { today: number },
  rule: Breakable,
  message: string,
  ...ids: string[]
): Violation {
  return { rule, message, ids, day: localDateOf(facts.today + day) }
}

/** Litres for a message: three decimals at most. */
export function showLitres(litres: number): string {
  return `${Math.round(litres * 1000) / 1000} L`
}
