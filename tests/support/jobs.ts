// The jobs of a process in tests: a short search runs here and now. Two threads for each, one of them a solver's for a bound
// that no test reads, would take most of the time of a test.
import type { JobServices } from '../../src/jobs/job-kind.ts'
import { jobsOf } from '../../src/jobs/kinds.ts'
import { instantBound, parseProblem } from '../../src/planner/index.ts'
import { FaultyProblem } from '../../src/solver/make-plan-on-thread.ts'
import { type BoundedPlan, planWithBound } from '../../src/solver/plan-with-bound.ts'
import { searchHere } from '../../src/solver/search-here.ts'

/** A search of more steps than these goes to threads, as on a server: tests see it under way. */
const SHORT_STEPS = 100

/** Jobs as a server has them; a search of up to 100 steps runs on this thread with the bound per line. */
export function testJobs(services: JobServices, planningThreads?: number) {
  const plan: typeof planWithBound = async (problem, effort, options = {}): Promise<BoundedPlan> => {
    if (effort.steps === undefined || effort.steps > SHORT_STEPS) return planWithBound(problem, effort, options)
    options.signal?.throwIfAborted()
    const parsed = parseProblem(problem)
    if (!parsed.ok) throw new FaultyProblem(parsed.faults)
    const bound = instantBound(parsed.problem)
    const searched = searchHere(parsed.problem, effort, (progress) =>
      options.onProgress?.({ ...progress, lowerBound: bound.value, boundKind: bound.kind }),
    )
    return { ...searched, bound }
  }
  return jobsOf({ ...services, plan }, { planningThreads })
}
