// What a bound is, and how it is chosen and reported.
import { costTolerance } from '../documents/tolerances.ts'

/**
 * How a bound was found: each line alone, the aggregated linear relaxation (of some sites of a large problem, with the others' lines alone), each beer as if there were no other, with whole brews,
 * all beers together with whole brews (of a large problem at some sites alone), or the exact model day by day, as far as it came. EXACT: it is the cost of the plan that it is a bound of, and no plan costs less.
 */
const KINDS = ['PER_LINE', 'AGGREGATED', 'PER_BEER', 'AGGREGATED_WHOLE_BREWS', 'DAY_BY_DAY', 'EXACT'] as const

export { KINDS as BOUND_KINDS }

export type BoundKind = (typeof KINDS)[number]

/** No valid plan of the problem costs less than `value`. */
export interface Bound {
  value: number
  kind: BoundKind
}

/** The higher, which says more; the first where they are equal. */
export function betterBound(first: Bound, second: Bound): Bound {
  return second.value > first.value ? second : first
}

/**
 * What bounds say of a plan of that cost: the highest that is not above it, and that it is `EXACT` where it reaches the cost. One that
 * is above it says nothing: the exact model's, of a plan that moved what it could have kept (F1).
 */
export function boundOfCost(cost: number, bounds: readonly Bound[]): Bound | undefined {
  const valid = bounds.filter(({ value }) => value <= cost + costTolerance(cost))
  const [first, ...others] = valid
  if (!first) return undefined
  const best = others.reduce(betterBound, first)
  return cost - best.value <= costTolerance(cost) ? { value: cost, kind: 'EXACT' } : best
}

/**
 * A solver's lower bound less what its tolerances may have added; no plan costs less than nothing. Not a number and
 * -infinity become 0.
 */
export function cautious(value: number): number {
  return value > 0 ? Math.max(0, value - 1e-6 * value - 1e-6) : 0
}

/** Share of a plan's cost by which it may exceed the best: (cost − bound) ÷ cost, 0 to 1. */
export function gapOf(cost: number, lowerBound: number): number {
  return cost > 0 ? Math.min(1, Math.max(0, (cost - lowerBound) / cost)) : 0
}
