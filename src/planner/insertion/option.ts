// One dispatch option of a line: what it costs, what a source can give to it, and the delivery that it becomes.
import type { Delivery, Placement } from '../model/batch.ts'
import { makeBrew } from '../model/make-batch.ts'
import { fleetIndex, type LineModel, TERM } from '../model/model.ts'
import { firstFillFor, OPTION_SIZE, soldUntil } from '../model/options.ts'
import type { State } from '../model/state.ts'
import { cleanAgain, cleanToSpare, roomToStand, routeRoom } from '../model/stores-fleets.ts'
import { leavesInTime } from './leaves-in-time.ts'
import type { LineSource, Window } from './source.ts'

export interface Found {
  placement: Placement
  /** What the plan's cost changes by, as the search counts it; leaving the line unserved is 0. */
  searchCost: number
}

/** Fill days that can serve the line, by site (B5). */
export function fillWindows(state: State, line: LineModel): Map<number, Window> {
  const { model } = state
  const pack = model.packs[line.pack]
  const windows = new Map<number, Window>()
  const { options } = line
  for (let at = 0; at < options.length; at += OPTION_SIZE) {
    const { site } = model.routes[options[at]]
    const from = Math.max(model.frozenUntil, firstFillFor(model, line, options[at + 2]))
    const to = options[at + 1] - pack.conditioning
    let window = windows.get(site)
    if (!window) {
      window = { from, to, onTimeTo: -1 }
      windows.set(site, window)
    }
    window.from = Math.min(window.from, from)
    window.to = Math.max(window.to, to)
    if (options[at + 2] <= line.dueOn) window.onTimeTo = Math.max(window.onTimeTo, to)
  }
  return windows
}

/** Cost of one dispatch option before any source: lateness and, where the account has none that day yet, the drop. */
export function optionCost(state: State, line: LineModel, at: number, quantity: number): number {
  const { model } = state
  const units = quantity * model.packs[line.pack].nominal
  const late = Math.max(0, line.options[at + 2] - line.dueOn)
  const shared = state.drops[line.account * model.horizon + line.options[at + 1]] > 0
  return units * late * line.lateRate + (shared ? 0 : model.rates[TERM.drop])
}

/** Can the source, filled on its day, leave with the option and still be sold long enough (B3, B4)? */
export function servesOption(state: State, line: LineModel, source: LineSource, at: number): boolean {
  const { model } = state
  const pack = model.packs[line.pack]
  const { options } = line
  if (source.day + pack.conditioning > options[at + 1]) return false
  const bestBefore = source.lot >= 0 ? model.lots[source.lot].bestBefore : source.day + pack.shelf
  return bestBefore >= soldUntil(model, line, options[at + 2])
}

/** Cost of the days that `quantity` containers wait between being fit to serve and the serve day. */
export function standingCost(state: State, line: LineModel, source: LineSource, at: number, quantity: number): number {
  const { model } = state
  const pack = model.packs[line.pack]
  const route = model.routes[line.options[at]]
  const fit = source.lot >= 0 ? model.lots[source.lot].readyOn : source.day + pack.conditioning
  const days = line.options[at + 2] - Math.max(fit, 0) - route.transit - line.settle
  return quantity * pack.nominal * days * model.rates[TERM.standing]
}

/** Most containers that fleet, store and route let the source give to the option. */
export function optionRoom(state: State, line: LineModel, source: LineSource, at: number): number {
  const { model } = state
  const pack = model.packs[line.pack]
  const dispatch = line.options[at + 1]
  const serve = line.options[at + 2]
  const route = model.routes[line.options[at]]
  let most = source.most
  const free = routeRoom(state, line.options[at], dispatch)
  if (pack.nominal > 0) most = Math.min(most, Math.floor((free + 500) / pack.nominal))
  const back = cleanAgain(model, line, route.site, serve)
  if (source.lot >= 0 || source.surplus) {
    if (!leavesInTime(state, line, source, at)) return 0
    // S2: what is delivered is no longer emptied, so its container is missing then.
    const leaves = source.lot >= 0 ? model.lots[source.lot].leaves : source.day + pack.shelf + 1
    const fleet = model.fleets[fleetIndex(model, route.site, pack.type)]
    if (fleet && leaves < model.horizon)
      most = Math.min(most, cleanToSpare(state, route.site, pack.type, Math.max(1, leaves + fleet.washDays), back))
    return most
  }
  most = Math.min(most, cleanToSpare(state, route.site, pack.type, source.day, back))
  if (pack.nominal > 0)
    most = Math.min(most, Math.floor(roomToStand(state, route.site, line.pack, source.day, dispatch) / pack.nominal))
  return most
}

/** A delivery of an option, with nothing in it yet. */
export function emptyDelivery(line: LineModel, at: number): Delivery {
  return { route: line.options[at], dispatch: line.options[at + 1], serve: line.options[at + 2], runs: [], lots: [] }
}

/** Adds containers of a source to a delivery; a new brew becomes a batch here. */
export function takeFrom(
  state: State,
  line: LineModel,
  delivery: Delivery,
  source: LineSource,
  quantity: number,
): void {
  if (source.lot >= 0) {
    delivery.lots.push({ lot: source.lot, quantity })
    return
  }
  if (!source.batch && source.brew) source.batch = makeBrew(state, line.beer, source.brew.vessel, source.brew.brewOn)
  const { batch } = source
  if (!batch) return
  const bright = state.model.packs[line.pack].bright
  delivery.runs.push({
    batch,
    filler: source.filler,
    day: source.day,
    pack: line.pack,
    quantity,
    fromSurplus: source.surplus ? quantity : 0,
    transferOn: bright ? (source.transfer?.on ?? batch.transferOn) : -1,
    bright: bright ? (source.transfer?.bright ?? batch.bright) : -1,
  })
}
