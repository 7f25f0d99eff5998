// How many brews a batch takes (V1): the checker, the cost and the search count them here.
import { LITRE_TOLERANCE } from './tolerances.ts'

/** Brews for a batch of that many litres: one, where the site has no limit to a brew. */
export function brewsOf(litres: number, brewLitres = Number.POSITIVE_INFINITY): number {
  // Litres are compared with a tolerance: a thousandth of a litre over makes no further brew.
  return Math.max(1, Math.ceil((litres - LITRE_TOLERANCE) / brewLitres))
}

/** Most litres of a batch that takes no more than so many brews. */
export function litresOf(brews: number, brewLitres = Number.POSITIVE_INFINITY): number {
  return brews > 0 ? brews * brewLitres + LITRE_TOLERANCE : 0
}
