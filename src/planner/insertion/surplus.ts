// Beer left over, treated as orders without a customer: filled to stock, or moved to a bright vessel that may keep it,
// where that costs less than dumping it.

import { type Batch, runKey, type Surplus, type Transfer } from '../model/batch.ts'
import type { Days } from '../model/constraint.ts'
import { fleetIndex, TERM } from '../model/model.ts'
import { below, type Random } from '../model/random.ts'
import type { State } from '../model/state.ts'
import { cleanToSpare, roomToStand } from '../model/stores-fleets.ts'
import type { UndoLog } from '../model/undo-log.ts'
import { SLACK } from '../model/units.ts'
import { fits } from '../model/vessels.ts'
import { nextOn } from '../model/work-days.ts'
import { findDrawDays, mayDraw, mayTransferOn, narrowTransferDays } from './days.ts'
import { drawRoom, isSetUp, transferFor } from './draw-sources.ts'
import { drawCost, mostUnits } from './draws.ts'
import { EXACT } from './policy.ts'

/** Stock runs added for one batch at most. */
const MOST_RUNS = 4
/** Savings below this are none. */
const NOTHING = 1e-6

/**
 * Fills what a batch would dump to stock, as far as that pays. With `random` not always the best next run is added, so that a
 * search can find the containers that go together.
 */
export function fillToStock(log: UndoLog, batch: Batch, random?: Random): void {
  const { state } = log
  const { model } = state
  for (let count = 0; count < MOST_RUNS; count++) {
    if (!batch.active || batch.quarantined || batch.kept || batch.left <= SLACK) return
    if (batch.dumpedUnits * (model.rates[TERM.dumped] - model.rates[TERM.unsold]) <= NOTHING) return
    const runs = runsToKeep(state, batch)
    if (runs.length === 0) return
    let chosen = runs.reduce((best, run) => (run.saved > best.saved ? run : best))
    if (random && random() < 0.35) {
      chosen = runs[below(random, runs.length)]
      const { surplus } = chosen
      if (surplus.quantity > 1 && random() < 0.5) {
        chosen = { ...chosen, surplus: { ...surplus, quantity: 1 + below(random, surplus.quantity) } }
      }
    }
    log.stock(chosen.surplus)
  }
}

/** Whether no line has taken any of what was filled to stock. */
export function isUnallocated(state: State, { batch, filler, day, pack, quantity }: Surplus): boolean {
  const run = batch.runAt.get(runKey(state.model, filler, day, pack))
  return run !== undefined && run.surplus >= quantity
}

interface KeepingRun {
  surplus: Surplus
  saved: number
}

/** Every stock run that pays, as large as may be, and every move to a bright vessel. */
function runsToKeep(state: State, batch: Batch): KeepingRun[] {
  const { model } = state
  const { rates } = model
  const site = model.sites[batch.site]
  const found: KeepingRun[] = []
  for (const packIndex of model.beers[batch.beer].packs) {
    const pack = model.packs[packIndex]
    if (pack.draw <= 0 || pack.draw * rates[TERM.dumped] <= pack.nominal * rates[TERM.unsold]) continue
    const moves = pack.bright && !batch.brightStay
    if (moves && batch.fermenter < 0) continue
    // What is good to the end of the horizon is not emptied (S2).
    const first = Math.max(model.frozenUntil, model.horizon - 1 - pack.shelf)
    const days = { from: first, to: model.horizon - 1 }
    if (!moves) findDrawDays(state, batch, packIndex, undefined, days)
    const { to } = days
    for (
      let day = nextOn(site.fillOn, Math.max(first, days.from));
      day >= 0 && day <= to;
      day = nextOn(site.fillOn, day + 1)
    ) {
      const transfer = moves ? transferFor(state, batch, day, EXACT) : undefined
      if (moves && (!transfer || !mayDraw(state, batch, packIndex, day, transfer))) continue
      for (const filler of site.fillers) {
        const run = stockRun(state, batch, packIndex, filler, day, transfer)
        if (run) found.push(run)
      }
    }
  }
  if (batch.fermenter >= 0 && !batch.brightStay) found.push(...movesToKeep(state, batch))
  return found
}

/** The stock run of a pack that saves most: as much as is left, or, of a brew that may grow, one container more. */
function stockRun(
  state: State,
  batch: Batch,
  packIndex: number,
  filler: number,
  day: number,
  transfer: Transfer | undefined,
): KeepingRun | undefined {
  const { model } = state
  const pack = model.packs[packIndex]
  const started = isSetUp(state, batch, filler, day, pack.kind)
  const loss = started ? 0 : model.fillers[filler].setupLoss
  const beer = mostUnits(state, batch, pack.bright, transfer)
  let room = drawRoom(state, batch, packIndex, filler, day, beer, started)
  if (room <= 0) return undefined
  if (model.fleets[fleetIndex(model, batch.site, pack.type)]) {
    room = Math.min(room, cleanToSpare(state, batch.site, pack.type, day, model.horizon))
  }
  if (pack.nominal > 0) {
    room = Math.min(room, Math.floor(roomToStand(state, batch.site, packIndex, day, model.horizon) / pack.nominal))
  }
  const left = batch.left + (transfer ? batch.leftAtTransfer : 0)
  const whole = Math.floor((left - loss + SLACK) / pack.draw)
  let best: KeepingRun | undefined
  for (const quantity of [Math.min(whole, room), Math.min(whole + 1, room)]) {
    if (quantity <= 0 || best?.surplus.quantity === quantity) continue
    const saved =
      -drawCost(state, batch, quantity * pack.draw + loss, pack.bright, transfer) -
      loss * model.rates[TERM.dumped] -
      quantity * pack.nominal * model.rates[TERM.unsold] -
      (started ? 0 : model.beers[batch.beer].setupWeight * model.rates[TERM.setup])
    if (saved <= NOTHING || (best && saved <= best.saved)) continue
    const transferOn = pack.bright ? (transfer?.on ?? batch.transferOn) : -1
    const bright = pack.bright ? (transfer?.bright ?? batch.bright) : -1
    best = { surplus: { batch, filler, day, pack: packIndex, quantity, transferOn, bright }, saved }
  }
  return best
}

/** Transfers after the last draw that let the rest stand to the end of the horizon (V5, V6). */
function movesToKeep(state: State, batch: Batch): KeepingRun[] {
  const { model } = state
  const site = model.sites[batch.site]
  const beer = model.beers[batch.beer]
  const found: KeepingRun[] = []
  const stay = batch.fermenterStay
  if (!stay) return found
  const days: Days = {
    from: Math.max(model.frozenUntil, 0, model.horizon - beer.brightDays - beer.maxBrightDays),
    to: Math.min(model.horizon - 1, stay.end),
  }
  narrowTransferDays(state, batch, days)
  for (let on = days.from; on <= days.to; on++) {
    if (!mayTransferOn(state, batch.site, on)) continue
    for (const bright of site.brights) {
      if (!fits(model, state.stays[bright], bright, on, model.horizon - 1)) continue
      const saved = -drawCost(state, batch, 0, true, { on, bright })
      if (saved > NOTHING) {
        found.push({ surplus: { batch, filler: -1, day: -1, pack: -1, quantity: 0, transferOn: on, bright }, saved })
      }
    }
    break
  }
  return found
}
