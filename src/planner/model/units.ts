// Whole-number units of the search: exact sums, so that an undone move leaves no trace.
// Volumes are millionths of a litre, filler time is millionths of a minute.

/** Units in a litre. */
export const LITRE = 1_000_000
/** Units in a minute. */
export const MINUTE = 1_000_000
/** Half of the tolerance of a litre count (section 1: 0.001 L), in units. */
export const SLACK = 500

/** Litres as whole units; infinity stays infinity. */
export function units(litres: number): number {
  return Math.round(litres * LITRE)
}

/** Minutes needed, as whole units, rounded up so that a sum of them never hides work. */
export function minutesNeeded(minutes: number): number {
  return Math.ceil(minutes * MINUTE - 1e-3)
}

/** Minutes offered, as whole units, rounded down. */
export function minutesOffered(minutes: number): number {
  return Math.floor(minutes * MINUTE + 1e-3)
}
