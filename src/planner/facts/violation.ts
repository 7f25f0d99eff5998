// What the checker answers: violations under the rule numbers of the planning rules.

import type { LocalDate } from '../calendar/days.ts'
import { localDateOf } from '../calendar/days.ts'

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
  'B6',
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
  'V11',
  'L1',
  'L2',
  'L3',
  'L4',
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
