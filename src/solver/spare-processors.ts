// How many searches make one plan: all processors but one, which is left for answers, as far as no other plan has them. Several
// searches find more in the same seconds; under a step limit there is one, since the plan must be the same on every machine.
import { availableParallelism } from 'node:os'
import type { PlanEffort } from './search-here.ts'

/** Most searches of one plan unless its caller says more: each has the problem and a plan in memory. */
const MOST_SEARCHES = 8

/** Processors that plans may keep busy unless something else is set. */
export function spareProcessors(): number {
  return Math.max(1, availableParallelism() - 1)
}

/** Searches that run in this process now. */
let running = 0

/** The searches of a plan with that effort, of which `most` may run in this process at once; one where that many run already. */
export function searchesFor({ steps, seconds }: PlanEffort, most: number): number {
  if (steps !== undefined || seconds === undefined) return 1
  return Math.max(1, Math.min(MOST_SEARCHES, most - running))
}

/** Does work in which so many searches run. */
export async function whileSearching<Result>(searches: number, work: () => Promise<Result>): Promise<Result> {
  running += searches
  try {
    return await work()
  } finally {
    running -= searches
  }
}
