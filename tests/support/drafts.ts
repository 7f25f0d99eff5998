// Drafts for tests: a short search runs here and now. Two threads for each, one of them a solver's for a bound that no one
// reads, would take most of the time of a test.
import { instantBound, parseProblem } from '../../src/planner/index.ts'
import { Drafts } from '../../src/resolvers/plans/drafts.ts'
import { FaultyProblem } from '../../src/solver/make-plan-on-thread.ts'
import { type BoundedPlan, planWithBound } from '../../src/solver/plan-with-bound.ts'
import { searchHere } from '../../src/solver/search-here.ts'

/** A search of more steps than these goes to threads, as on a server: tests see it under way. */
const SHORT_STEPS = 100

/** Where drafts are solved: up to 100 steps on this thread with the bound per line, else as on a server. */
export function testDrafts(most?: number): Drafts {
  return new Drafts(most, async (problem, effort, options = {}): Promise<BoundedPlan> => {
    if (effort.steps === undefined || effort.steps > SHORT_STEPS) return planWithBound(problem, effort, options)
    options.signal?.throwIfAborted()
    const parsed = parseProblem(problem)
    if (!parsed.ok) throw new FaultyProblem(parsed.faults)
    const bound = instantBound(parsed.problem)
    const searched = searchHere(parsed.problem, effort, (progress) =>
      options.onProgress?.({ ...progress, lowerBound: bound.value, boundKind: bound.kind }),
    )
    return { ...searched, bound }
  })
}
