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
/** Share of the seconds that the end is given at most. */
const MOST_FOR_THE_END = 0.5

/** Milliseconds on a clock that all threads of a process share and that never goes back. */
export function instant(): number {
  return performance.timeOrigin + performance.now()
}

/**
 * How far a search is that shall have been answered `seconds` after `since`: from 0 to 1, and 1 where the rest of the time is needed
 * for the end. It is asked for the first time when the beginning, which starts with this call, is over.
 */
export function shareOfTime(seconds: number, since: number, now: () => number): () => number {
  const began = now()
  let end: number | undefined
  return () => {
    if (seconds === 0) return 1
    end ??= Math.min((END_OVER_BEGINNING * (now() - began)) / 1000, MOST_FOR_THE_END * seconds)
    return (now() - since) / 1000 / (seconds - end)
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
    ...(seconds === undefined ? {} : { elapsed: shareOfTime(seconds, since, instant) }),
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
