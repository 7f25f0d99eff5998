// Where a line's containers can come from at one site: stock lots, containers filled to stock, batches by fill
// day, and new brews; each with how many it can give and what they would cost, dispatch left out.
import { type Batch, surplusLeaves, type Transfer } from '../model/batch.ts'
import { type LineModel, TERM } from '../model/model.ts'
import type { State } from '../model/state.ts'
import { addBrews } from './brew-sources.ts'
import { findDrawDays, latestFillDay, mayDraw } from './days.ts'
import { addDraw, transferFor } from './draw-sources.ts'
import { mostUnits } from './draws.ts'
import { blinks, type InsertionPolicy, insertionPolicy } from './policy.ts'
import { type LineSource, source, type Window } from './source.ts'

/** Collects the sources of `quantity` containers for a line at a site. */
export function collectSources(
  state: State,
  line: LineModel,
  quantity: number,
  site: number,
  window: Window,
  policy: InsertionPolicy,
): LineSource[] {
  const found: LineSource[] = []
  addLots(state, line, quantity, site, found)
  const list = state.batches[line.beer * state.model.sites.length + site]
  for (const batch of list) {
    if (batch.quarantined || blinks(policy)) continue
    addSurplus(state, line, quantity, batch, found)
    addDraws(state, line, quantity, batch, window, found, policy)
  }
  if (!policy.noBrews && !blinks(policy)) addBrews(state, line, quantity, site, window, policy, found)
  return found
}

/** Ways of looking that overlook nothing and offer one new brew. */
const AGAIN = insertionPolicy({ brewTries: 1 })
const AGAIN_EARLY = insertionPolicy({ brewTries: 1, earlyTransfers: true })

/**
 * What `collectSources` would find of one batch or, where none is given, of new brews alone on one fill day: most of a plan is
 * not looked at to know how much a source still gives.
 */
export function collectAgain(
  state: State,
  line: LineModel,
  quantity: number,
  site: number,
  day: number,
  batch: Batch | undefined,
  { earlyTransfers }: InsertionPolicy,
): LineSource[] {
  const found: LineSource[] = []
  const again = earlyTransfers ? AGAIN_EARLY : AGAIN
  const window = { from: day, to: day, onTimeTo: day }
  if (!batch) addBrews(state, line, quantity, site, window, again, found)
  else if (batch.active && !batch.quarantined) {
    addSurplus(state, line, quantity, batch, found)
    addDraws(state, line, quantity, batch, window, found, again)
  }
  return found
}

function addLots(state: State, line: LineModel, quantity: number, site: number, found: LineSource[]): void {
  const { model } = state
  const { nominal, conditioning } = model.packs[line.pack]
  for (const index of model.lotsByPack[line.pack]) {
    const lot = model.lots[index]
    const left = state.lotLeft[index]
    if (lot.site !== site || left <= 0 || lot.bestBefore < 0 || lot.quarantined) continue
    const amount = Math.min(left, quantity)
    const cost = -amount * nominal * model.rates[lot.leaves < model.horizon ? TERM.dumped : TERM.unsold]
    found.push(
      source(index, undefined, undefined, -1, lot.readyOn - conditioning, undefined, false, left, amount, cost, cost),
    )
  }
}

function addSurplus(state: State, line: LineModel, quantity: number, batch: Batch, found: LineSource[]): void {
  const { model } = state
  const { nominal, shelf } = model.packs[line.pack]
  for (const run of batch.runs) {
    if (run.pack !== line.pack || run.surplus <= 0) continue
    const amount = Math.min(run.surplus, quantity)
    const leaves = surplusLeaves(model, run.day + shelf)
    const cost = -amount * nominal * model.rates[leaves < model.horizon ? TERM.dumped : TERM.unsold]
    found.push(source(-1, batch, undefined, run.filler, run.day, undefined, true, run.surplus, amount, cost, cost))
  }
}

function addDraws(
  state: State,
  line: LineModel,
  quantity: number,
  batch: Batch,
  window: Window,
  found: LineSource[],
  policy: InsertionPolicy,
): void {
  const { model } = state
  const pack = model.packs[line.pack]
  const site = model.sites[batch.site]
  if (!pack.bright && batch.fermenter < 0) return
  const untransferred = pack.bright && batch.fermenter >= 0 && batch.transferOn < 0
  let from = Math.max(0, window.from, batch.ready)
  let to = Math.min(window.to, model.horizon - 1)
  if (!untransferred) {
    const { days } = state.scratch
    findDrawDays(state, batch, line.pack, undefined, days)
    from = Math.max(window.from, days.from)
    to = Math.min(window.to, days.to)
  }
  if (to < from) return
  let transfer: Transfer | undefined
  let beer = untransferred ? 0 : mostUnits(state, batch, pack.bright, undefined)
  for (
    let day = latestFillDay(state, batch.site, to, from);
    day >= 0;
    day = latestFillDay(state, batch.site, day - 1, from)
  ) {
    if (untransferred) {
      transfer = transferFor(state, batch, day, policy)
      if (!transfer || !mayDraw(state, batch, line.pack, day, transfer)) continue
      beer = mostUnits(state, batch, pack.bright, transfer)
    }
    for (const filler of site.fillers) {
      if (blinks(policy)) continue
      addDraw(state, line, quantity, batch, filler, day, transfer, undefined, 1, beer, policy, found)
    }
  }
}
