// A search on the thread that calls it, by steps or by the clock.

import type { Problem } from '../planner/documents/index.ts'
import { makePlan, type PlanOutcome } from '../planner/index.ts'

/** Effort as in `makePlan`: steps, or seconds of wall-clock time, or neither for the planner's default. */
export interface PlanEffort {
  seed?: number
  steps?: number
  seconds?: number
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

/** Plans a parsed problem; `onProgress` hears of the search about ten times a second, for the first time at the first plan. */
export function searchHere(
  problem: Problem,
  { seed, steps, seconds }: PlanEffort,
  onProgress: (progress: SearchProgress) => void,
): Searched {
  const started = performance.now()
  const passed = () => (performance.now() - started) / 1000
  let reportedAt = Number.NEGATIVE_INFINITY
  const { plan, statistics } = makePlan(problem, {
    seed,
    steps,
    ...(seconds === undefined ? {} : { elapsed: () => (seconds === 0 ? 1 : passed() / seconds) }),
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
