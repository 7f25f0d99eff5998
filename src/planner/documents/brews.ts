// How many brews a batch takes (V1); the cost counts them too.
import { LITRE_TOLERANCE } from './tolerances.ts'

/** Brews for a batch of that many litres: one, where the site has no limit to a brew. */
export function brewsOf(litres: number, brewLitres: number | undefined): number {
  if (brewLitres === undefined) return 1
  // Litres are compared with a tolerance: a thousandth of a litre over makes no further brew.
  return Math.max(1, Math.ceil((litres - LITRE_TOLERANCE) / brewLitres))
}
