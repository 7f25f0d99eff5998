// Batches from which a whole line might be drawn: with the days on which it may, and what that would cost.
import type { Batch } from '../model/batch.ts'
import { type LineModel, TERM } from '../model/model.ts'
import type { State } from '../model/state.ts'
import { findDrawDays } from './days.ts'
import { drawCost } from './draws.ts'
import { blinks, type InsertionPolicy } from './policy.ts'

/** A batch of the line's beer, with what drawing the whole line from it would cost. */
export interface Candidate {
  batch: Batch
  from: number
  to: number
  /** Needs a transfer, which follows from the fill day. */
  untransferred: boolean
  /** Added cost without a set-up; where a transfer is needed, no more than that. */
  cost: number
  /** What `mostUnits` says once it was asked; where a transfer is needed, it says otherwise each day. */
  units: number | undefined
  /** Days one after the other on which no filler can fill the line whole, as found so far: no need to ask again. */
  fullFrom: number
  fullTo: number
}

/** Batches of the line's beer at a site that may be drawn, with their days and what they would cost. */
export function candidatesAt(state: State, line: LineModel, site: number, policy: InsertionPolicy): Candidate[] {
  const { model } = state
  const pack = model.packs[line.pack]
  const found: Candidate[] = []
  const units = line.quantity * pack.draw
  for (const batch of state.batches[line.beer * model.sites.length + site]) {
    if (batch.quarantined || blinks(policy)) continue
    if (!pack.bright && batch.fermenter < 0) continue
    const untransferred = pack.bright && batch.fermenter >= 0 && batch.transferOn < 0
    let from = Math.max(0, batch.ready)
    let to = model.horizon - 1
    let cost: number
    if (untransferred)
      cost = -batch.dumpedUnits * model.rates[TERM.dumped] - batch.unsoldUnits * model.rates[TERM.unsold]
    else {
      const { days } = state.scratch
      findDrawDays(state, batch, line.pack, undefined, days)
      from = days.from
      to = days.to
      if (to < from) continue
      cost = drawCost(state, batch, units, pack.bright, undefined)
      if (cost === Number.POSITIVE_INFINITY) continue
    }
    found.push({
      batch,
      from: Math.max(from, model.frozenUntil),
      to,
      untransferred,
      cost,
      units: undefined,
      fullFrom: Number.POSITIVE_INFINITY,
      fullTo: -1,
    })
  }
  return found
}
