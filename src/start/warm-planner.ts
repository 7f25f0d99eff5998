// Before the first plan is asked for: one that is not kept, so that the planning thread has compiled its code. The first draft of a second
// after a start was made in a few steps, or none.
import { sizedProblem } from '../../seeds/sized-problem.ts'
import { makePlanOnThread } from '../solver/make-plan-on-thread.ts'

/** A problem with most of what planning has code for: stock, standing batches, bright vessels, promises, lines that may be split. */
const PROBLEM = { lines: 60, vessels: 6, days: 42, seed: 1 } as const
const SECONDS = 1

/** Keeps one thread busy for a second or two, beside whatever else the process does; the thread then waits for plans. Ends at once, without a fault, where the signal says so. */
export async function warmPlanner(signal: AbortSignal): Promise<void> {
  try {
    await makePlanOnThread(sizedProblem(PROBLEM), { seconds: SECONDS }, { signal })
  } catch (error) {
    if (!signal.aborted) throw error
  }
}
