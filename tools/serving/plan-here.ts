// A plan of a few steps made on this thread, with the bound per line: threads, one of them a solver's for a bound, take longer
// to start than such a search, and would stop the clock of no one. For tests and seasons.
import { beersAlone, instantBound, parseProblem, unavoidableOf, wholePart } from '../../src/planner/index.ts'
import { FaultyProblem } from '../../src/solver/make-plan-on-thread.ts'
import { type BoundedPlan, planWithBound } from '../../src/solver/plan-with-bound.ts'
import { searchHere } from '../../src/solver/search-here.ts'

/** A search of more steps than these goes to threads, as on a server: tests see it under way. */
const SHORT_STEPS = 100

/** As `planWithBound`; a search of up to 100 steps runs on this thread. */
export const planHere: typeof planWithBound = async (problem, effort, options = {}): Promise<BoundedPlan> => {
  if (effort.steps === undefined || effort.steps > SHORT_STEPS) return planWithBound(problem, effort, options)
  options.signal?.throwIfAborted()
  const parsed = parseProblem(problem)
  if (!parsed.ok) throw new FaultyProblem(parsed.faults)
  const whole = wholePart(parsed.problem)
  const bound = instantBound(whole)
  const searched = searchHere(parsed.problem, effort, (progress) =>
    options.onProgress?.({ ...progress, lowerBound: bound.value, boundKind: bound.kind }),
  )
  return { ...searched, bound, unavoidable: unavoidableOf(beersAlone(whole)) }
}
