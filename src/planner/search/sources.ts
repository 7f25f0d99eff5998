// Where a line's containers can come from at one site: stock lots, containers filled and nobody's yet, batches by fill
// day, and new brews; each with how many it can give and what they would cost, dispatch left out.
import { type Batch, runKey, setupKey } from './batch.ts'
import { addBrews } from './brew-sources.ts'
import { type BrewSlot, latest, newBrewCost } from './brews.ts'
import { drawCost, drawDays, fermenterLasts, findDrawDays, mayDraw, mostUnits, type Transfer } from './draws.ts'
import { fleetIndex, type LineModel, TERM } from './model.ts'
import type { Random } from './random.ts'
import { type State, surplusLeaves } from './state.ts'
import { SLACK } from './units.ts'
import { fits, lastsTo } from './vessels.ts'

export interface Source {
  /** A stock lot, or −1. */
  lot: number
  /** The batch drawn from; undefined for a lot and for a brew that would have to be laid. */
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
  /** Added cost of giving `amount` of them, and what the search weighs instead (a new brew may be paid in shares). */
  amount: number
  cost: number
  weighed: number
}

/** How a placement looks for sources. Everything left out means: exactly and completely. */
export interface Taste {
  random?: Random
  /** Chance of overlooking a source. */
  blink: number
  /** 1: a line pays a new brew whole. Towards 0: only its share of it. */
  brewShare: number
  /** Keep new brews out of it. */
  noBrews?: boolean
  /** New brews offered at most: so many for on-time fill days, up to three for later ones. */
  brewTries: number
  /** Only brews that begin as soon as their vessel is free. */
  snug?: boolean
  /** Lines that can be served in part only have their turn like any other. */
  inTurn?: boolean
}

export const EXACT: Taste = { blink: 0, brewShare: 1, brewTries: 6 }

/** Days between which a fill can serve the line from a site, and the last fill day that still serves on time. */
export interface Window {
  from: number
  to: number
  onTimeTo: number
}

/** Collects the sources of `quantity` containers for a line at a site. */
export function collectSources(
  state: State,
  line: LineModel,
  quantity: number,
  site: number,
  window: Window,
  taste: Taste,
): Source[] {
  const found: Source[] = []
  addLots(state, line, quantity, site, found)
  const list = state.batches[line.beer * state.model.sites.length + site]
  for (const batch of list) {
    if (batch.quarantined || blinks(taste)) continue
    addSurplus(state, line, quantity, batch, found)
    addDraws(state, line, quantity, batch, window, found, taste)
  }
  if (!taste.noBrews && !blinks(taste)) addBrews(state, line, quantity, site, window, taste, found)
  return found
}

/** Now and then a source is overlooked. */
export function blinks(taste: Taste): boolean {
  return taste.blink > 0 && taste.random !== undefined && taste.random() < taste.blink
}

function addLots(state: State, line: LineModel, quantity: number, site: number, found: Source[]): void {
  const { model } = state
  const { nominal, conditioning } = model.packs[line.pack]
  for (const index of model.lotsByPack[line.pack]) {
    const lot = model.lots[index]
    const left = state.lotLeft[index]
    if (lot.site !== site || left <= 0 || lot.bestBefore < 0) continue
    const amount = Math.min(left, quantity)
    const cost = -amount * nominal * model.rates[lot.leaves < model.horizon ? TERM.dumped : TERM.unsold]
    found.push(
      source(index, undefined, undefined, -1, lot.readyOn - conditioning, undefined, false, left, amount, cost, cost),
    )
  }
}

function addSurplus(state: State, line: LineModel, quantity: number, batch: Batch, found: Source[]): void {
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
  found: Source[],
  taste: Taste,
): void {
  const { model } = state
  const pack = model.packs[line.pack]
  const site = model.sites[batch.site]
  if (!pack.bright && batch.fermenter < 0) return
  const untransferred = pack.bright && batch.fermenter >= 0 && batch.transferOn < 0
  let from = Math.max(0, window.from, batch.ready)
  let to = Math.min(window.to, model.horizon - 1)
  if (!untransferred) {
    findDrawDays(state, batch, line.pack)
    from = Math.max(window.from, drawDays.from)
    to = Math.min(window.to, drawDays.to)
  }
  let transfer: Transfer | undefined
  for (let day = latest(site.fillBy, to, from); day >= 0; day = latest(site.fillBy, day - 1, from)) {
    if (untransferred) {
      transfer = transferFor(state, batch, day)
      if (!transfer || !mayDraw(state, batch, line.pack, day, transfer)) continue
    }
    for (const filler of site.fillers) {
      if (blinks(taste)) continue
      addDraw(state, line, quantity, batch, filler, day, transfer, undefined, 1, found)
    }
  }
}

/** The transfer that lets a batch be drawn from a bright vessel on a day: as late as may be, in the vessel that wastes least. */
export function transferFor(state: State, batch: Batch, day: number): Transfer | undefined {
  const { model } = state
  const beer = model.beers[batch.beer]
  const stay = batch.fermenterStay
  // Who comes next into the fermenter may want it sooner (V3).
  const lasts = stay ? lastsTo(model, state.stays[stay.vessel], stay) : Number.POSITIVE_INFINITY
  const last = Math.min(day - beer.brightDays, batch.fermenterDeadline, lasts)
  const first = Math.max(
    batch.ready,
    batch.lastFermenterDraw,
    day - beer.brightDays - beer.maxBrightDays,
    model.frozenUntil,
    0,
  )
  const on = latest(model.sites[batch.site].fillBy, last, first)
  if (on < 0) return undefined
  if (!fermenterLasts(state, batch, on)) return undefined
  let best: Transfer | undefined
  let bestCost = Number.POSITIVE_INFINITY
  for (const bright of model.sites[batch.site].brights) {
    if (!fits(model, state.stays[bright], bright, on, Math.max(day, on + 1))) continue
    const transfer = { on, bright }
    const cost = drawCost(state, batch, 0, true, transfer)
    if (cost < bestCost) {
      best = transfer
      bestCost = cost
    }
  }
  return best
}

/** Most containers of a pack that a filler can fill from a batch on a day: by its minutes, the beer and clean containers. */
export function drawRoom(
  state: State,
  batch: Batch,
  packIndex: number,
  filler: number,
  day: number,
  transfer: Transfer | undefined,
): number {
  const { model } = state
  const pack = model.packs[packIndex]
  const fillerModel = model.fillers[filler]
  const each = fillerModel.each[pack.type]
  if (each === Number.POSITIVE_INFINITY) return 0
  if (batch.runAt.get(runKey(model, filler, day, packIndex))?.fixed) return 0
  const started = batch.setupAt.has(setupKey(model, filler, day, pack.kind))
  const minutes =
    fillerModel.minutes[day] - state.minutesUsed[filler][day] - (started ? 0 : fillerModel.setupMinutes[batch.beer])
  if (minutes < each) return 0
  const room = mostUnits(state, batch, pack.bright, transfer) - (started ? 0 : fillerModel.setupLoss)
  let most = each > 0 ? Math.floor(minutes / each) : Number.MAX_SAFE_INTEGER
  if (pack.draw > 0) most = Math.min(most, Math.floor((room + SLACK) / pack.draw))
  const clean = state.clean[fleetIndex(model, batch.site, pack.type)]
  if (clean) most = Math.min(most, clean[day])
  return most
}

/** One batch, filler and day as a source, if it can give at least one container. */
export function addDraw(
  state: State,
  line: LineModel,
  quantity: number,
  batch: Batch,
  filler: number,
  day: number,
  transfer: Transfer | undefined,
  brew: BrewSlot | undefined,
  share: number,
  found: Source[],
): void {
  const { model } = state
  const pack = model.packs[line.pack]
  const run = batch.runAt.get(runKey(model, filler, day, line.pack))
  const started = batch.setupAt.has(setupKey(model, filler, day, pack.kind))
  const most = drawRoom(state, batch, line.pack, filler, day, transfer)
  if (most <= 0) return
  const loss = started ? 0 : model.fillers[filler].setupLoss
  const amount = Math.min(most, quantity)
  const units = amount * pack.draw + loss
  const { rates } = model
  let cost = brew ? newBrewCost(state, batch, units, transfer) : drawCost(state, batch, units, pack.bright, transfer)
  if (cost === Number.POSITIVE_INFINITY) return
  let weighed = cost * share
  const extra = started ? 0 : model.beers[batch.beer].setupWeight * rates[TERM.setup] + loss * rates[TERM.dumped]
  const churn = run ? 0 : churnSaved(state, batch, filler, line.pack, day) * rates[TERM.churn]
  cost += extra - churn
  weighed += extra - churn
  found.push(source(-1, brew ? undefined : batch, brew, filler, day, transfer, false, most, amount, cost, weighed))
}

export function churnSaved(state: State, batch: Batch, filler: number, pack: number, day: number): number {
  if (state.baseline.runs.size === 0) return 0
  const { id } = state.identity(batch)
  return id !== undefined && state.baseline.runs.has(`${id}|${filler}|${pack}|${day}`) ? 1 : 0
}

/** Every field is named, so that all sources share one shape: this is the planner's hottest allocation. */
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
  weighed: number,
): Source {
  return { lot, batch, brew, filler, day, transfer, surplus, most, amount, cost, weighed }
}

/** A source to fill in. */
export function emptySource(): Source {
  return source(-1, undefined, undefined, -1, -1, undefined, false, 0, 0, 0, 0)
}

/** A draw from a batch as a source, for asking what fleet, store and route allow. */
export function stockless(batch: Batch, filler: number, day: number, quantity: number): Source {
  return source(-1, batch, undefined, filler, day, undefined, false, quantity, quantity, 0, 0)
}
