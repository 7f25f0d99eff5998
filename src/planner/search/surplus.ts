// Beer left over, treated as orders without a customer: filled to stock where that costs less than dumping it.
import type { Batch } from './batch.ts'
import { mayDraw } from './draws.ts'
import { fleetIndex, TERM } from './model.ts'
import { drawRoom } from './sources.ts'
import { type State, type Surplus, surplusLeaves } from './state.ts'
import { cleanToSpare, roomToStand } from './stores-fleets.ts'
import { SLACK } from './units.ts'

/** Stock runs laid for one batch at most. */
const MOST_RUNS = 4

/** Fills what a batch would dump to stock, as far as that pays; tells every stock run laid to `note`. */
export function fillToStock(state: State, batch: Batch, note: (surplus: Surplus) => void): void {
  const { model } = state
  if (!batch.active || batch.quarantined || batch.dumpedUnits <= SLACK) return
  const worth = batch.dumpedUnits * (model.rates[TERM.dumped] - model.rates[TERM.unsold])
  if (worth <= 0) return
  for (let count = 0; count < MOST_RUNS; count++) {
    const best = bestStockRun(state, batch)
    if (!best) return
    state.applySurplus(best, 1)
    note(best)
  }
}

function bestStockRun(state: State, batch: Batch): Surplus | undefined {
  const { model } = state
  const { rates } = model
  const site = model.sites[batch.site]
  let best: Surplus | undefined
  let bestSaved = 1e-6
  if (batch.left <= SLACK || batch.kept) return undefined
  const from = Math.max(model.frozenUntil, batch.ready, 0)
  const to = Math.min(model.horizon - 1, batch.brightStay ? Number.POSITIVE_INFINITY : batch.fermenterDeadline)
  for (const packIndex of model.beers[batch.beer].packs) {
    const pack = model.packs[packIndex]
    if (pack.bright ? !batch.brightStay : batch.brightStay !== undefined || pack.draw <= 0) continue
    const saving = pack.draw * rates[TERM.dumped] - pack.nominal * rates[TERM.unsold]
    if (saving <= 0) continue
    for (let day = Math.max(from, model.horizon - 1 - pack.shelf); day <= to; day++) {
      if (!site.fillOn[day] || surplusLeaves(model, day + pack.shelf) < model.horizon) continue
      if (!mayDraw(state, batch, packIndex, day, undefined)) continue
      for (const filler of site.fillers) {
        const started = batch.setups.some(
          (each) => each.day === day && each.filler === filler && each.kind === pack.kind,
        )
        const loss = started ? 0 : model.fillers[filler].setupLoss
        let quantity = Math.min(
          drawRoom(state, batch, packIndex, filler, day, undefined),
          Math.floor((batch.left - loss + SLACK) / pack.draw),
        )
        const most = started ? 0 : model.beers[batch.beer].setupWeight * rates[TERM.setup]
        if (quantity * saving - most <= bestSaved) continue
        if (model.fleets[fleetIndex(model, batch.site, pack.type)]) {
          quantity = Math.min(quantity, cleanToSpare(state, batch.site, pack.type, day, model.horizon))
        }
        if (pack.nominal > 0)
          quantity = Math.min(
            quantity,
            Math.floor(roomToStand(state, batch.site, packIndex, day, model.horizon) / pack.nominal),
          )
        const saved = quantity * saving - most
        if (quantity <= 0 || saved <= bestSaved) continue
        bestSaved = saved
        const { transferOn, bright } = batch
        best = {
          batch,
          filler,
          day,
          pack: packIndex,
          quantity,
          transferOn: pack.bright ? transferOn : -1,
          bright: pack.bright ? bright : -1,
        }
      }
    }
  }
  return best
}
