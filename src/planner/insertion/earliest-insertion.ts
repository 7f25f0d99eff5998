// The first day by which all of a line can be served in the plan as it stands. Each serve day is tried on its own, so that
// the answer for a day never depends on how long the beer is wanted: asking again with that day as the latest gives the
// same. Days on which there cannot be enough are passed over by a bound that costs next to nothing.

import type { Placement } from '../model/batch.ts'
import { fleetIndex, type LineModel, type Options } from '../model/model.ts'
import { OPTION_SIZE } from '../model/options.ts'
import type { State } from '../model/state.ts'
import { cleanAgain, cleanToSpare, roomToStand, routeRoom } from '../model/stores-fleets.ts'
import { SLACK } from '../model/units.ts'
import { brewSlot } from './brews.ts'
import { latestFillDay } from './days.ts'
import { fillWindows } from './option.ts'
import { place } from './place.ts'
import { EXACT, type InsertionPolicy, insertionPolicy } from './policy.ts'
import type { Window } from './source.ts'
import { collectSources } from './sources.ts'

/** Sources that are there already, none that would have to be brewed. */
const NO_BREWS = insertionPolicy({ noBrews: true })

/** All of the line or nothing of it. */
const ALL_OR_NOTHING = insertionPolicy({ allOrNothing: true })

/**
 * The cheapest way found to serve the line, which is not in the plan, on the first day on which all of it can be served;
 * where there is no such day, what can be served of it if it is splittable. Looks only: the caller applies the placement.
 */
export function placeEarliest(state: State, line: LineModel): Placement | undefined {
  const days = serveDays(line)
  let most: ((options: Options) => number) | undefined
  for (const [index, { serve, options }] of days.entries()) {
    if (index > 0) {
      most ??= supply(state, line)
      if (most(options) < line.quantity) continue
    }
    const placement = placeOn(state, line, options, serve, ALL_OR_NOTHING)
    if (placement?.delivered === line.quantity) return placement
  }
  return line.splittable ? placeOn(state, line, line.options, line.latestServeOn, EXACT) : undefined
}

/** The cheapest way found to serve all of the line, which is not in the plan, on its serve day. Looks only. */
export function placeOnTime(state: State, line: LineModel): Placement | undefined {
  const [first] = serveDays(line)
  if (!first || first.serve > Math.max(line.serveOn, 0)) return undefined
  const placement = placeOn(state, line, first.options, first.serve, ALL_OR_NOTHING)
  return placement?.delivered === line.quantity ? placement : undefined
}

function placeOn(
  state: State,
  line: LineModel,
  options: Options,
  dueOn: number,
  policy: InsertionPolicy,
): Placement | undefined {
  const found = place(state, { ...line, options, dueOn }, policy, true)
  return found && { ...found.placement, line }
}

/**
 * The serve days of a line, first to last, each with the dispatch options by which the last of it can be served then: a
 * line in one delivery takes one of that very day, a splittable one may bring some of it before.
 */
function serveDays(line: LineModel): { serve: number; options: Options }[] {
  const byDay = new Map<number, number[]>()
  const { options } = line
  for (let at = 0; at < options.length; at += OPTION_SIZE) {
    const serve = options[at + 2]
    let list = byDay.get(serve)
    if (!list) {
      list = []
      byDay.set(serve, list)
    }
    list.push(options[at], options[at + 1], serve)
  }
  const days = [...byDay].sort(([a], [b]) => a - b)
  let before: number[] = []
  return days.map(([serve, list]) => {
    // The latest dispatch first, as in the search among days that are not late.
    before = line.splittable ? [...list, ...before] : list
    return { serve, options: Uint16Array.from(before) }
  })
}

/**
 * Containers that there could be for some dispatch options, at the very most and not counted further than the line's
 * quantity: such as are filled already; and others by beer or a vessel to brew in, clean containers and room to stand,
 * each source counted as if the others took nothing. One delivery takes one option, a splittable line may take two (A3).
 */
export function supply(state: State, line: LineModel): (options: Options) => number {
  const { model } = state
  const sites = new Map(
    [...fillWindows(state, line)].map(([site, window]) => [site, siteSupply(state, line, site, window)]),
  )
  return (options) => {
    let best = 0
    let second = 0
    for (let at = 0; at < options.length && best < line.quantity; at += OPTION_SIZE) {
      const most = sites.get(model.routes[options[at]].site)?.(options, at) ?? 0
      second = Math.max(second, Math.min(best, most))
      best = Math.max(best, most)
    }
    return Math.min(line.splittable ? best + second : best, line.quantity)
  }
}

/** Most containers that a site could give to an option, at the very most. */
function siteSupply(
  state: State,
  line: LineModel,
  site: number,
  window: Window,
): (options: Options, at: number) => number {
  const { model } = state
  const { conditioning, warm, type, nominal } = model.packs[line.pack]
  const sources = collectSources(state, line, line.quantity, site, window, NO_BREWS)
  const clean = state.clean[fleetIndex(model, site, type)]
  const first = Math.max(0, window.from)
  // A container stands in the cold from the day on which it is fit to leave, or from its fill, and is not clean meanwhile.
  const limited = !warm && model.stores[site * 2] < Number.POSITIVE_INFINITY
  const crowded = limited
    ? lastDays(first, window.to + conditioning, (day) => roomToStand(state, site, line.pack, day, day + 1) < nominal)
    : undefined
  const short = clean && lastDays(first, model.horizon, (day) => clean[day] < 1)
  const canBrew = brewDays(state, line, site)
  const filled = sources.filter(({ lot, surplus }) => lot >= 0 || surplus)
  // Drawn before each day, so that a span of days is a difference.
  const drawnBefore = new Float64Array(model.horizon + 1)
  for (const { lot, surplus, day, most } of sources) if (lot < 0 && !surplus) drawnBefore[day + 1] += most
  for (let day = 0; day < model.horizon; day++) drawnBefore[day + 1] += drawnBefore[day]
  return (options, at) => {
    const dispatch = options[at + 1]
    const fillBy = dispatch - conditioning
    const back = Math.min(model.horizon, cleanAgain(model, line, site, options[at + 2]))
    const standsFrom = crowded && dispatch > first ? crowded[dispatch - 1 - first] + 1 : first
    const fillFrom = Math.max(standsFrom, short && back > first ? short[back - 1 - first] + 1 : first)
    let stock = 0
    for (const { day, most } of filled) if (day <= fillBy) stock += most
    const drawn = fillFrom > fillBy ? 0 : drawnBefore[fillBy + 1] - drawnBefore[fillFrom]
    const route = routeRoom(state, options[at], dispatch)
    const load = nominal > 0 ? Math.floor((route + SLACK) / nominal) : Number.POSITIVE_INFINITY
    if (stock >= line.quantity || fillFrom > fillBy) return Math.min(stock, load)
    let room = cleanToSpare(state, site, type, fillBy, back)
    if (!warm && nominal > 0)
      room = Math.min(room, Math.floor(roomToStand(state, site, line.pack, fillBy, dispatch) / nominal))
    const fresh = drawn >= line.quantity || !canBrew(fillFrom, fillBy) ? Math.min(drawn, room) : room
    return Math.min(stock + fresh, load)
  }
}

/** By day from the first one on, up to the one before `end`: the last day up to it that is bad, or the one before the first. */
function lastDays(first: number, end: number, bad: (day: number) => boolean): Int32Array {
  const days = new Int32Array(Math.max(0, end - first))
  let last = first - 1
  for (let day = first; day < end; day++) {
    if (bad(day)) last = day
    days[day - first] = last
  }
  return days
}

/** Whether a brew could be added for a fill on one of some days. Each day is looked at once. */
function brewDays(state: State, line: LineModel, site: number): (from: number, to: number) => boolean {
  const { model } = state
  const pack = model.packs[line.pack]
  const { fermenters, fillers } = model.sites[site]
  const first = Math.max(0, model.frozenUntil + model.beers[line.beer].readyAfter[site])
  const canFill = (day: number) =>
    fillers.some((filler) => {
      const { each, setupMinutes, minutes } = model.fillers[filler]
      return minutes[day] - state.minutesUsed[filler][day] - setupMinutes[line.beer] >= each[pack.type]
    }) && brewSlot(state, line.beer, site, day, pack.bright, fermenters, undefined) !== undefined
  // Days one after the other on which it is known that none could, and the last one that was found on which one could.
  let noneFrom = Number.POSITIVE_INFINITY
  let noneTo = -1
  let could = -1
  const noneBetween = (from: number, to: number) => {
    if (from > to) return
    const joins = to + 1 >= noneFrom && from - 1 <= noneTo
    noneFrom = joins ? Math.min(noneFrom, from) : from
    noneTo = joins ? Math.max(noneTo, to) : to
  }
  return (from, to) => {
    const last = Math.min(to, model.horizon - 1)
    const earliest = Math.max(first, from)
    for (
      let day = latestFillDay(state, site, last, earliest);
      day >= 0;
      day = latestFillDay(state, site, day - 1, earliest)
    ) {
      if (day >= noneFrom && day <= noneTo) day = noneFrom
      else if (day === could || canFill(day)) {
        could = day
        noneBetween(day + 1, last)
        return true
      }
    }
    noneBetween(earliest, last)
    return false
  }
}
