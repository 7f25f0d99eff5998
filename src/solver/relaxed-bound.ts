// Lower bounds that need the solver: the aggregated relaxation, on a worker thread and within a time limit.

import type { Problem } from '../planner/documents/index.ts'
import { type Bound, betterBound, buildRelaxation, cautious, instantBound, safeDualBound } from '../planner/index.ts'
import { solveLinear } from './solve-linear.ts'

export interface RelaxedOptions {
  /** Seconds that the solver may take. */
  seconds: number
  /** Whole brews: worth it up to about 100 lines. */
  wholeBrews: boolean
  /** A bound that is known; the bound per line unless given. */
  known?: Bound
}

/**
 * A lower bound on the cost of every valid plan, found within about `seconds`: by the aggregated relaxation, with whole
 * brews where asked for. Never worse than the one that is known, which it falls back to.
 */
export async function relaxedBound(problem: Problem, { seconds, wholeBrews, known }: RelaxedOptions): Promise<Bound> {
  const before = known ?? instantBound(problem)
  const model = buildRelaxation(problem, { wholeBrews })
  const result = await solveLinear(model, { seconds })
  // Of a linear model the multipliers are taken, not the solver's word; they count even if it was stopped.
  const value = result.rowDuals ? safeDualBound(model, result.rowDuals) : result.bound
  return betterBound(before, { value: cautious(value), kind: wholeBrews ? 'AGGREGATED_WHOLE_BREWS' : 'AGGREGATED' })
}
