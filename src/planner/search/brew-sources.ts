// New brews as sources of a line: for which fill days one could be laid, in which vessel, and what it would cost.
import { brewSlot, hypothetical } from './brews.ts'
import { type LineModel, TERM } from './model.ts'
import { below, type Random } from './random.ts'
import { addDraw, type Source, type Taste, type Window } from './sources.ts'
import type { State } from './state.ts'

/** New brews for fill days from the last on-time one backwards, then for later ones, a few of each. */
export function addBrews(
  state: State,
  line: LineModel,
  quantity: number,
  site: number,
  window: Window,
  taste: Taste,
  found: Source[],
): void {
  const { model } = state
  const siteModel = model.sites[site]
  const beer = model.beers[line.beer]
  const { random } = taste
  const first = Math.max(window.from, model.frozenUntil + beer.readyAfter[site])
  if (siteModel.brewsPerDay < 1 || window.to < first) return
  const order = vesselOrder(state, siteModel.fermenters, random)
  let tries = taste.brewTries
  for (let day = Math.min(window.onTimeTo, window.to); day >= first && tries > 0; day--) {
    if (addBrew(state, line, quantity, site, day, order, taste, found)) tries--
  }
  tries = Math.min(tries, 3)
  for (let day = Math.max(window.onTimeTo + 1, first); day <= window.to && tries > 0; day++) {
    if (addBrew(state, line, quantity, site, day, order, taste, found)) tries--
  }
}

/** The share of a new brew that a line pays: what it takes of the vessel, or what the taste asks if that is more. */
function shareOf(state: State, line: LineModel, quantity: number, vessel: number, taste: Taste): number {
  if (taste.brewShare >= 1) return 1
  const { model } = state
  const capacity = model.vessels[vessel].capacity * (1 - model.beers[line.beer].loss)
  return Math.max(taste.brewShare, Math.min(1, (quantity * model.packs[line.pack].draw) / capacity))
}

/** No new brew for a line at a site weighs less; infinity where there is no fermenter. */
export function leastBrewCost(state: State, line: LineModel, site: number, taste: Taste): number {
  let share = Number.POSITIVE_INFINITY
  for (const vessel of state.model.sites[site].fermenters)
    share = Math.min(share, shareOf(state, line, line.quantity, vessel, taste))
  return share * state.model.rates[TERM.brew]
}

/** A new brew for a fill on a day, if it can be laid; answers whether it can. */
function addBrew(
  state: State,
  line: LineModel,
  quantity: number,
  site: number,
  day: number,
  order: number[],
  taste: Taste,
  found: Source[],
): boolean {
  const { model } = state
  const siteModel = model.sites[site]
  if (!siteModel.fillOn[day]) return false
  const pack = model.packs[line.pack]
  const slot = brewSlot(state, line.beer, site, day, pack.bright, order, taste.random)
  if (!slot) return false
  const batch = hypothetical(state, line.beer, slot.vessel, slot.brewOn)
  if (pack.primingWindow >= 0 && day > batch.ready + pack.primingWindow) return false
  const share = shareOf(state, line, quantity, slot.vessel, taste)
  const before = found.length
  for (const filler of siteModel.fillers)
    addDraw(state, line, quantity, batch, filler, day, slot.transfer, slot, share, found)
  return found.length > before
}

/** Vessels by how little they must hold; now and then in another order. */
function vesselOrder(state: State, vessels: number[], random: Random | undefined): number[] {
  const { model } = state
  const order = [...vessels].sort(
    (a, b) =>
      model.vessels[a].minFill - model.vessels[b].minFill || model.vessels[b].capacity - model.vessels[a].capacity,
  )
  if (!random || random() < 0.5 || order.length < 2) return order
  const turn = below(random, order.length)
  return [...order.slice(turn), ...order.slice(0, turn)]
}
