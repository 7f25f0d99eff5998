// A source of a line's containers: a stock lot, containers that are filled already, a batch on a fill day, or a new brew.
import type { Batch, Transfer } from '../model/batch.ts'
import type { BrewSlot } from './brews.ts'

export interface LineSource {
  /** A stock lot, or −1. */
  lot: number
  /** The batch drawn from; undefined for a lot and for a new brew. */
  batch: Batch | undefined
  brew: BrewSlot | undefined
  filler: number
  /** Fill day; for a lot, its ready day less the conditioning, so that both are fit to leave on `day` + conditioning. */
  day: number
  transfer: Transfer | undefined
  /** Containers that are filled already. */
  surplus: boolean
  /** Most containers by beer, filler and stock. */
  most: number
  /** Added cost of giving `amount` of them, and what the search counts instead (a new brew may be paid in shares). */
  amount: number
  cost: number
  searchCost: number
}

/** Days between which a fill can serve the line from a site, and the last fill day that still serves on time. */
export interface Window {
  from: number
  to: number
  onTimeTo: number
}

/** No source gives more. */
export const MOST_CONTAINERS = 2 ** 31 - 1

/**
 * Every field is named, so that all sources share one shape: this is the planner's hottest allocation. Counts are made integers of 32
 * bits: one number that came as a fraction, if only in its form, would give all sources another shape from then on. Code that was compiled for
 * the shape before stays slow for a while: the first plan of a process, with 200 lines, took two thirds longer.
 */
export function source(
  lot: number,
  batch: Batch | undefined,
  brew: BrewSlot | undefined,
  filler: number,
  day: number,
  transfer: Transfer | undefined,
  surplus: boolean,
  most: number,
  amount: number,
  cost: number,
  searchCost: number,
): LineSource {
  return {
    lot,
    batch,
    brew,
    filler,
    day,
    transfer,
    surplus,
    most: most | 0,
    amount: amount | 0,
    cost,
    searchCost,
  }
}

/** A source to fill in. */
export function emptySource(): LineSource {
  return source(-1, undefined, undefined, -1, -1, undefined, false, 0, 0, 0, 0)
}

/** A draw from a batch as a source, for asking what fleet, store and route allow. */
export function stockless(batch: Batch, filler: number, day: number, quantity: number): LineSource {
  return source(-1, batch, undefined, filler, day, undefined, false, quantity, quantity, 0, 0)
}
