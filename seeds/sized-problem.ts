// Growth instances: realistic problems of a stated size and tightness, for tests of speed and for benchmarks.
import type { LocalDate, Problem } from '../src/planner/documents/index.ts'
import { assemble } from './generator/assemble.ts'
import { PLAIN_SPEC } from './generator/spec.ts'

export interface SizedOptions {
  lines: number
  vessels: number
  days: number
  seed: number
  /** Load over capacity of tanks, fillers, fleets, stores and routes: 0.6 easy, 0.85 tight, 1.1 overloaded. Default 0.85. */
  tightness?: number
  /** Default 2027-03-01; the clocks of Europe/London change four weeks later. */
  today?: LocalDate
}

/**
 * A realistic problem: 1 site up to 20 vessels, 2 up to 60, then 3 and 4; 4 to 20 beers; lines of 1 to 20 containers in
 * weekly habits; batches at all stages and stock for the first days; bright vessels, primed packs, fleets with returns.
 */
export function sizedProblem(options: SizedOptions): Problem {
  const { lines, vessels, days, seed } = options
  const tightness = options.tightness ?? 0.85
  const siteCount = vessels <= 20 ? 1 : vessels <= 60 ? 2 : vessels <= 80 ? 3 : 4
  return assemble(
    {
      ...PLAIN_SPEC,
      today: options.today ?? '2027-03-01',
      horizonDays: days,
      timeZones: Array.from({ length: siteCount }, () => 'Europe/London'),
      vesselCount: vessels,
      beerCount: Math.max(4, Math.min(20, Math.round(vessels / 3.5))),
      lineCount: lines,
      largestLine: 20,
      tightness: {
        tanks: tightness,
        filler: tightness,
        fleet: tightness,
        store: tightness,
        route: tightness,
        brewhouse: tightness,
      },
      brightShare: 0.4,
      primedShare: 0.3,
      standingShare: 0.75,
      stockDays: 5,
      splittableShare: 0.1,
      promisedShare: 0.3,
      priorityShare: 0.5,
      latestShare: 0.15,
      accountRulesShare: 0.25,
      orderly: true,
      returnShare: 0.9,
    },
    seed,
  )
}
