// A search on the thread that calls it, by steps or by the clock.

import type { Problem } from '../planner/documents/index.ts'
import { makePlan, type PlanOutcome } from '../planner/index.ts'

/**
 * Effort as in `makePlan`: steps, or seconds of wall-clock time, or neither for the planner's default. The seconds are those until
 * the answer: reading the problem, first plans, explaining and checking are part of them.
 */
export interface PlanEffort {
  seed?: number
  steps?: number
  seconds?: number
  /** When the seconds began, by `instant`; the call itself unless given. */
  since?: number
}

/** How far one search is. */
export interface SearchProgress {
  steps: number
  bestCost: number
  /** Since it began. */
  seconds: number
}

export interface Searched {
  plan: PlanOutcome['plan']
  statistics: PlanOutcome['statistics'] & { seconds: number }
}

/** Progress is reported at most this often, in milliseconds. */
const BETWEEN_REPORTS = 100

/**
 * The end of a plan (reasons, checks, handing it over) is given so many times as long as its beginning (compiling, first plans), which is
 * measured in the same run; on sized problems of 200 to 20,000 lines it took 1.5 to 4 times as long (`npm run bench -- growth`).
 */
const END_OVER_BEGINNING = 3
/** Share of the seconds that the end is given at most: reasons may be missing, a search that never began is missed more. */
const MOST_FOR_THE_END = 0.35
/** Share of the end that is left for checks and handing over when the reasons end. */
const AFTER_THE_REASONS = 0.3

/** Milliseconds on a clock that all threads of a process share and that never goes back. */
export function instant(): number {
  return performance.timeOrigin + performance.now()
}

/** How far a plan is that shall be there at a deadline; each is asked for the first time when its stage begins. */
export interface Shares {
  /** Of the search, from 0 to 1, and 1 where the rest of the time is needed for the end. */
  elapsed: () => number
  /** Of the time for reasons. */
  explaining: () => number
}

/**
 * The shares of a plan that shall have been answered `seconds` after `since`, on a clock in milliseconds; its beginning starts with this call.
 * Without seconds there is the first plan alone.
 */
export function sharesOfTime(seconds: number, since: number, now: () => number): Shares {
  const began = now()
  const passed = () => (now() - since) / 1000
  let end: number | undefined
  let searched: number | undefined
  return {
    elapsed: () => {
      if (seconds <= 0) return 1
      end ??= Math.min((END_OVER_BEGINNING * (now() - began)) / 1000, MOST_FOR_THE_END * seconds)
      return passed() / (seconds - end)
    },
    explaining: () => {
      if (seconds <= 0) return 0
      const at = passed()
      searched ??= at
      const until = seconds - AFTER_THE_REASONS * (end ?? 0)
      return at < until ? (at - searched) / (until - searched) : 1
    },
  }
}

/** Plans a parsed problem; `onProgress` hears of the search about ten times a second, for the first time at the first plan. */
export function searchHere(
  problem: Problem,
  { seed, steps, seconds, since = instant() }: PlanEffort,
  onProgress: (progress: SearchProgress) => void,
): Searched {
  const started = performance.now()
  const passed = () => (performance.now() - started) / 1000
  let reportedAt = Number.NEGATIVE_INFINITY
  const { plan, statistics } = makePlan(problem, {
    seed,
    steps,
    ...(seconds === undefined ? {} : sharesOfTime(seconds, since, instant)),
    keepGoing: ({ steps: done, bestCost }) => {
      const now = performance.now()
      if (now - reportedAt >= BETWEEN_REPORTS) {
        reportedAt = now
        onProgress({ steps: done, bestCost, seconds: passed() })
      }
      return true
    },
  })
  return { plan, statistics: { ...statistics, seconds: passed() } }
}
