// What the checker answers: violations under the rule numbers of the planning rules.
import { localDateOf } from '../days.ts'
import type { LocalDate } from '../problem.ts'

/**
 * The rule numbers, and two of our own: `DOCUMENT` for a plan that contradicts itself or names what is not there
 * (section 1), `COST` for a stated cost that is not the plan's (section 8).
 */
export const RULES = [
  'DOCUMENT',
  'T1',
  'T2',
  'T3',
  'T4',
  'T5',
  'B1',
  'B2',
  'B3',
  'B4',
  'B5',
  'V1',
  'V2',
  'V3',
  'V4',
  'V5',
  'V6',
  'V7',
  'V8',
  'V9',
  'V10',
  'L1',
  'L2',
  'L3',
  'C1',
  'S1',
  'S2',
  'D1',
  'A1',
  'A2',
  'A3',
  'F1',
  'F2',
  'E1',
  'COST',
] as const

export type RuleNumber = (typeof RULES)[number]

/** One breach of one rule: what is wrong, the ids of what is involved, and the day where the rule is about a day. */
export interface Violation {
  rule: RuleNumber
  message: string
  ids: string[]
  day?: LocalDate
}

/** Litre counts are compared with this tolerance (section 1). */
export const LITRE_TOLERANCE = 0.001

/** Minutes are sums of decimal fractions; this much is rounding. */
export const MINUTE_TOLERANCE = 1e-6

/** A violation on no particular day. */
export function violation(rule: RuleNumber, message: string, ...ids: string[]): Violation {
  return { rule, message, ids }
}

/** A violation on a day, given as days after today. */
export function violationOn(
  day: number,
  facts: { today: number },
  rule: RuleNumber,
  message: string,
  ...ids: string[]
): Violation {
  return { rule, message, ids, day: localDateOf(facts.today + day) }
}

/** Litres for a message: three decimals at most. */
export function showLitres(litres: number): string {
  return `${Math.round(litres * 1000) / 1000} L`
}
