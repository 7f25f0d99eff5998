// When a line can leave and be served: every route day that reaches the account in time and before whose cut-off it was
// placed (B1, B2, B6, T2, T5).
import { firstDispatchDay } from '../calendar/cut-off.ts'
import { isoWeekday } from '../calendar/days.ts'
import type { LineModel, Model, Options } from './model.ts'

/** Numbers that one option takes in an Options array. */
export const OPTION_SIZE = 3

/**
 * All dispatch days of a line on the routes of its account, each with the earliest day on which the line can then be
 * served, least late first, and among equals the latest dispatch first. A later serve day for the same dispatch is
 * never cheaper, so it is no option of its own.
 */
export function dispatchOptions(model: Model, line: LineModel): Options {
  const account = model.accounts[line.account]
  // Each as one number whose order is theirs: objects that are sorted by a function take twice as long.
  const found: number[] = []
  const first = Math.max(line.serveOn, line.notBefore, 0)
  const { routes, horizon } = model
  for (const r of account.routes) {
    const route = routes[r]
    const from = Math.max(firstInTime(model, line, r), first - line.settle - account.maxEarlyDays - route.transit)
    const to = Math.min(model.horizon - 1, line.latestServeOn - line.settle - route.transit)
    for (let dispatch = from; dispatch <= to; dispatch++) {
      if (!route.runs[dispatch]) continue
      const arrival = dispatch + route.transit
      if (!account.receives[isoWeekday(model.today + arrival)]) continue
      const serve = Math.max(first, arrival + line.settle)
      if (serve > line.latestServeOn || serve > arrival + line.settle + account.maxEarlyDays) continue
      found.push((Math.max(0, serve - line.dueOn) * horizon + (horizon - 1 - dispatch)) * routes.length + r)
    }
  }
  const options = new Uint16Array(found.length * OPTION_SIZE)
  let at = 0
  for (const each of Float64Array.from(found).sort()) {
    const route = each % routes.length
    const dispatch = horizon - 1 - (Math.floor(each / routes.length) % horizon)
    options[at++] = route
    options[at++] = dispatch
    options[at++] = Math.max(first, dispatch + routes[route].transit + line.settle)
  }
  return options
}

/** Those options of a line with which it is not late, which come first. */
export function onTimeOptions({ options, dueOn }: LineModel): Options {
  let end = 0
  while (end < options.length && options[end + 2] <= dueOn) end += OPTION_SIZE
  return options.subarray(0, end)
}

/** One dispatch that a line may take: a route from a site, the day on which it leaves, the earliest day on which the line is served then. */
export interface Dispatch {
  route: number
  site: number
  on: number
  serve: number
}

/** Options as objects, in their order: for use where no speed is needed. */
export function dispatchesOf({ routes }: Model, options: Options): Dispatch[] {
  const dispatches: Dispatch[] = []
  for (let at = 0; at < options.length; at += OPTION_SIZE) {
    const route = options[at]
    dispatches.push({ route, site: routes[route].site, on: options[at + 1], serve: options[at + 2] })
  }
  return dispatches
}

/** Last day on which beer must still be good that a line is served on a day: its days on sale after that (B4). */
export function soldUntil({ accounts }: Model, line: LineModel, serve: number): number {
  return serve + accounts[line.account].minDaysOnSale
}

/** First day on which a fill of the line's pack is good long enough for a line that is served on a day (B4). */
export function firstFillFor(model: Model, line: LineModel, serve: number): number {
  return soldUntil(model, line, serve) - model.packs[line.pack].shelf
}

/** First day on which the line may leave on a route by its cut-off (B6), at least 0. */
function firstInTime({ routes, today }: Model, { placedAt }: LineModel, route: number): number {
  const { cutOff, timeZone } = routes[route]
  if (!cutOff || placedAt === undefined) return 0
  return Math.max(0, firstDispatchDay(placedAt, timeZone, cutOff) - today)
}
