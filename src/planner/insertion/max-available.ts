// What can be offered when: the largest quantity of a pack that an account can have on each of some days, each on its own.
// Few quantities are tried: a bound says what there could be at most, days that share their dispatches share their answer.

import type { LocalDate } from '../calendar/days.ts'
import type { OrderLine } from '../documents/problem.ts'
import type { Placement } from '../model/batch.ts'
import { fleetIndex, type LineModel } from '../model/model.ts'
import { OPTION_SIZE, soldUntil } from '../model/options.ts'
import type { State } from '../model/state.ts'
import { cleanAgain, cleanToSpare } from '../model/stores-fleets.ts'
import { UndoLog } from '../model/undo-log.ts'
import { placeOnTime, supply } from './earliest-insertion.ts'
import { enterLine } from './joint-insertion.ts'

/**
 * By serve day, from the `serveOn` of `wanted` to its `latestServeOn`, which is given: the largest quantity, at most that
 * of `wanted`, that is served wholly on that day in one delivery; one container more is not, or exceeds `wanted`.
 */
export function maxAvailableByDay(state: State, wanted: OrderLine & { latestServeOn: LocalDate }): number[] {
  const log = new UndoLog(state)
  try {
    return byDay(state, enterLine(log, { ...wanted, splittable: false }))
  } finally {
    log.undo()
    state.touched.clear()
  }
}

function byDay(state: State, span: LineModel): number[] {
  const bound = supply(state, span)
  const found: number[] = []
  let before: Day | undefined
  for (let day = span.serveOn; day <= span.latestServeOn; day++) {
    const line = lineOn(state, span, day)
    const same: boolean = before !== undefined && sameDispatches(before.line, line)
    // A later serve day of the same dispatches asks for more: a longer shelf life, containers out for longer.
    const most: number = same ? (before?.quantity ?? 0) : bound(line.options)
    const kept: Placement | undefined = same ? before?.placement : undefined
    const today: Day =
      most === 0 || (kept && stillServes(state, kept, line))
        ? { line, quantity: most, placement: kept }
        : maxAvailable(state, line, most, before?.quantity ?? 0)
    found.push(today.quantity)
    before = today
  }
  return found
}

/** What was found for one serve day: the largest quantity, and how it is served. */
interface Day {
  line: LineModel
  quantity: number
  placement: Placement | undefined
}

/** Always: `low` is served, `high` is not or is more than there can be. */
function maxAvailable(state: State, line: LineModel, most: number, guess: number): Day {
  let low = 0
  let high = most + 1
  let placement: Placement | undefined
  const tryOut = (quantity: number): boolean => {
    const served = placeOnTime(state, { ...line, quantity })
    if (!served) {
      high = quantity
      return false
    }
    low = quantity
    placement = served
    return true
  }
  if (guess > 0 && guess < high && tryOut(guess)) {
    for (let step = 1; low + step < high && tryOut(low + step); step *= 2);
  } else if (high > 1 && low + 1 < high) tryOut(high - 1)
  while (high - low > 1) tryOut(Math.floor((low + high) / 2))
  return { line, quantity: low, placement }
}

/** The line, wanted on one day and no other. */
function lineOn(state: State, span: LineModel, day: number): LineModel {
  const { model } = state
  const account = model.accounts[span.account]
  const options: [route: number, dispatch: number, serve: number][] = []
  // What is not served on the day is left out, what arrives early enough waits for it.
  for (let at = 0; at < span.options.length; at += OPTION_SIZE) {
    const route = span.options[at]
    const dispatch = span.options[at + 1]
    const fit = dispatch + model.routes[route].transit + span.settle
    if (fit <= day && day <= fit + account.maxEarlyDays) options.push([route, dispatch, day])
  }
  options.sort((a, b) => b[1] - a[1] || a[0] - b[0])
  return { ...span, serveOn: day, dueOn: day, latestServeOn: day, options: Uint16Array.from(options.flat()) }
}

function sameDispatches(a: LineModel, b: LineModel): boolean {
  if (a.options.length !== b.options.length) return false
  for (let at = 0; at < a.options.length; at += OPTION_SIZE)
    if (a.options[at] !== b.options[at] || a.options[at + 1] !== b.options[at + 1]) return false
  return true
}

/** Whether a placement of an earlier serve day does for this one too, as far as is easily seen (B4, C1). */
function stillServes(state: State, { deliveries }: Placement, line: LineModel): boolean {
  const { model } = state
  const pack = model.packs[line.pack]
  const last = soldUntil(model, line, line.serveOn)
  return deliveries.every(({ route, lots, runs }) => {
    const { site } = model.routes[route]
    if (lots.some(({ lot }) => model.lots[lot].bestBefore < last)) return false
    if (runs.some(({ day }) => day + pack.shelf < last)) return false
    if (!model.fleets[fleetIndex(model, site, pack.type)]) return true
    if (lots.length > 0 || runs.some(({ fromSurplus }) => fromSurplus > 0)) return false
    const quantity = runs.reduce((sum, take) => sum + take.quantity, 0)
    const first = Math.min(...runs.map(({ day }) => day))
    return cleanToSpare(state, site, pack.type, first, cleanAgain(model, line, site, line.serveOn)) >= quantity
  })
}
