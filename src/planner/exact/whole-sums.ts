// How much of a limit whole things can take up: what is left over is of use to fractions only.

/** Sums beyond which a limit is left as it is: with so many, next to nothing of it is left over. */
const MOST_SUMS = 3000
/** Sums that differ by less are equal; the answer is so much more than the sum that it stands for. */
const TOLERANCE = 1e-6

/**
 * The most of a limit that can be taken up by things of these sizes: each of them at most once, or any number of times. The limit itself
 * where there are too many sums to try.
 */
export function mostOfWhole(limit: number, sizes: Iterable<number>, use: 'ONCE' | 'OFTEN'): number {
  const fitting = [...sizes].filter((size) => size > TOLERANCE && size <= limit + TOLERANCE)
  /** The sums so far, by what they round to. */
  const sums = new Map<number, number>([[0, 0]])
  for (const size of use === 'ONCE' ? fitting : new Set(fitting)) {
    for (const before of [...sums.values()])
      for (let sum = before + size; sum <= limit + TOLERANCE; sum += size) {
        sums.set(Math.round(sum / TOLERANCE), sum)
        if (use === 'ONCE') break
        if (sums.size > MOST_SUMS) return limit
      }
    if (sums.size > MOST_SUMS) return limit
  }
  return Math.min(limit, Math.max(...sums.values()) + TOLERANCE)
}
