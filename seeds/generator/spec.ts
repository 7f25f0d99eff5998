// What a generated problem is asked to look like: sizes, tightness and the shares of what varies.
import type { LocalDate } from '../../src/planner/documents/index.ts'

/** Load over capacity: 0.6 is easy, 1 tight, 1.1 and more overloaded. What is absent has no limit that binds. */
export interface Tightness {
  tanks: number
  filler?: number
  fleet?: number
  store?: number
  route?: number
  brewhouse?: number
}

export interface ProblemSpec {
  today: LocalDate
  horizonDays: number
  /** One zone for each site. */
  timeZones: readonly string[]
  vesselCount: number
  beerCount: number
  lineCount: number
  /** Containers on one line: mostly few, at most 20. */
  largestLine: number
  /** QUICK: days from brew to fill, for short horizons. USUAL: the trade's one to three weeks. */
  pace: 'QUICK' | 'USUAL'
  tightness: Tightness
  /** Share of the beers whose kegs are drawn from a bright vessel, after the casks were drawn from the fermenter. */
  brightShare: number
  /** Share of the beers that also come primed, for gravity service. */
  primedShare: number
  /** Share of the fermenters in which a batch stands today. */
  standingShare: number
  /** Days of demand that lie in the store today. */
  stockDays: number
  splittableShare: number
  promisedShare: number
  priorityShare: number
  /** Share of the lines that name a latest serve day. */
  latestShare: number
  /** Share of the accounts with rules of their own: receiving days, settling, days on sale, how early. */
  accountRulesShare: number
  /**
   * A well-run house: accounts want only what their routes can bring in time and receive on days on which those run,
   * and stock lasts until a ready batch can be filled, conditioned and served.
   */
  orderly: boolean
  /** Share of the accounts that send containers back. */
  returnShare: number
}

/** A small workable problem; the generators change what they are about. */
export const PLAIN_SPEC: ProblemSpec = {
  today: '2027-02-01',
  horizonDays: 28,
  timeZones: ['Europe/London'],
  vesselCount: 4,
  beerCount: 3,
  lineCount: 15,
  largestLine: 8,
  pace: 'USUAL',
  tightness: { tanks: 0.85 },
  brightShare: 0,
  primedShare: 0,
  standingShare: 0.6,
  stockDays: 3,
  splittableShare: 0,
  promisedShare: 0,
  priorityShare: 0,
  latestShare: 0.2,
  accountRulesShare: 0,
  orderly: false,
  returnShare: 0,
}
