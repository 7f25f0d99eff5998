// Clients that mean well: what they ask, and how long the slowest hundredth of their answers takes.

import { systemClock, todayIn } from '../../src/clock.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import type { Load } from '../serving/load.ts'
import { AVAILABILITY, ORDERS, PROMISE, TRIVIAL } from '../serving/questions.ts'

type Question = [query: string, variables?: Record<string, unknown>]

const today = todayIn(systemClock, 'Europe/London')
const account = { externalRef: 'C-101' }
const promise = (lines: number) => ({
  input: {
    ...{ account, serveOn: addDays(today, 12) },
    lines: Array.from({ length: lines }, () => ({ pack: { externalRef: 'MAR-KEG50' }, quantity: 1 })),
  },
})

/** What a salesperson's tool asks in turn. */
export const POLITE: readonly Question[] = [
  [TRIVIAL],
  [PROMISE, promise(1)],
  [ORDERS],
  [AVAILABILITY, { account, from: addDays(today, 10), to: addDays(today, 12) }],
]

/** The dearest that is allowed, one after the other. */
export const GREEDY: readonly Question[] = [
  [PROMISE, promise(20)],
  [AVAILABILITY, { account, from: today, to: addDays(today, 20) }],
  [ORDERS],
]

/** Milliseconds within which 99 of 100 answers came. */
export function p99Of({ times }: Load): number {
  const sorted = times.toSorted((a, b) => a - b)
  return sorted[Math.floor(sorted.length * 0.99)] ?? 0
}
