// What a bound is, and how it is chosen and reported.

/** How a bound was found: each line alone, the aggregated linear relaxation, or the same with whole brews. */
export type BoundKind = 'PER_LINE' | 'AGGREGATED' | 'AGGREGATED_WHOLE_BREWS'

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
