// The ledger as traces read it: movements that count, with the kind of fact that each follows from.
import type { LocalDate } from '../../planner/documents/index.ts'
import type { FactKind } from '../facts/fact.ts'
import { byOrder, type Entry } from '../ledger/entry.ts'
import { keyOf, kindOf, type Place } from '../ledger/place.ts'
import type { CalledBack } from './called-back.ts'

/** An entry that no other takes back. */
export type TracedEntry = Pick<
  Entry,
  'from' | 'to' | 'unit' | 'amount' | 'day' | 'rank' | 'recorded' | 'revision' | 'n' | 'factId'
> & { kind: FactKind }

/** How much is read at most, the newest first. */
export interface Reading {
  most: number
  /** Only of this day or later. Absent: all. */
  since?: LocalDate | undefined
}

export interface TraceLedger {
  /** What came into any of the places. */
  into: (places: readonly Place[], reading: Reading) => Promise<TracedEntry[]>
  /** What left any of the places. */
  outOf: (places: readonly Place[], reading: Reading) => Promise<TracedEntry[]>
  /**
   * The places on the road at which containers of lots have been. Where a dispatch was withdrawn and its delivery stands, no
   * entry leads there from the lot.
   */
  roadsOf: (lotIds: readonly string[]) => Promise<Place[]>
  /** What of lots was called back, by the facts that count. */
  calledBack: (lotIds: readonly string[]) => Promise<readonly CalledBack[]>
  /** What places hold; one that is not in the answer holds nothing. */
  held: (places: readonly Place[]) => Promise<ReadonlyMap<Place, number>>
}

/** The lot that a place holds; undefined where it holds none. */
export function lotOf(place: Place): string | undefined {
  const key = keyOf(place)
  switch (kindOf(place)) {
    case 'PACKED':
    case 'FILLED':
      return key[0]
    case 'ON_ROAD':
      return key[1]
    default:
      return undefined
  }
}

/** In the order of what happened; of one fact, in the order of its entries. */
export function byTime(a: TracedEntry, b: TracedEntry): number {
  return byOrder(a, b) || a.revision - b.revision || a.n - b.n
}
