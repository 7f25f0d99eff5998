// The entries of the ledger, and the order in which they count.
import type { LocalDate } from '../../planner/documents/index.ts'
import type { Place, Unit } from './place.ts'

/** An amount that moves from one place to another. */
export interface Movement {
  unit: Unit
  /** Whole millilitres or containers; more than zero, unless the movement only marks a count (`setsTo`). */
  amount: number
  from: Place
  to: Place
  /**
   * The place `from` holds exactly so much afterwards, because it was counted or emptied. What that makes lost or found is
   * moved by an entry that settles it.
   */
  setsTo?: number
}

/** A movement as a fact means it, at its place in the order of what happened. */
export interface Posting extends Movement {
  factId: string
  /** The day on which it counts. */
  day: LocalDate
  /** Its place in the order within the day (T4, then dispatch, delivery, return, washing). */
  rank: number
  /** The order of recording; later ones count after earlier ones of the same day and rank. */
  recorded: number
  /** Whether it follows from what a place held then: what was found missing, or remained. It goes when its need goes. */
  settles?: boolean
}

/** An entry that is in the ledger. */
export interface Entry extends Posting {
  revision: number
  /** Its number within the revision, from 1. */
  n: number
  /** The entry that it takes back. */
  reverses?: EntryKey
}

export interface EntryKey {
  revision: number
  n: number
}

/**
 * Order of entries within a day: T4 (fills from a fermenter, dumping, transfers, fills from a bright vessel), then dispatch,
 * delivery, return, washing; a count is of the end of the day.
 */
export const RANKS = {
  OPENING: 0,
  BREW: 1,
  DRAW_FROM_FERMENTER: 2,
  DUMP: 3,
  TRANSFER: 4,
  DRAW_FROM_BRIGHT: 5,
  LEAVE: 6,
  DISPATCH: 7,
  DELIVERY: 8,
  RETURN: 9,
  WASHING: 10,
  COUNT: 11,
} as const

type Ordered = Pick<Posting, 'day' | 'rank' | 'recorded'>

/** In the order of what happened: day, rank, recording. */
export function byOrder(a: Ordered, b: Ordered): number {
  if (a.day !== b.day) return a.day < b.day ? -1 : 1
  return a.rank - b.rank || a.recorded - b.recorded
}

export function entryKey({ revision, n }: EntryKey): string {
  return `${revision}.${n}`
}
