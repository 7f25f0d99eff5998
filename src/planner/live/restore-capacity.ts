// Who has to make room where lines leave and take with them the containers that they would have brought back: first what is
// filled for no line, then those that matter least, one after the other, until fleets (C1) and stores (S1) are within bounds.
import { localDateOf } from '../calendar/days.ts'
import { notBroughtForward } from '../documents/frozen-promises.ts'
import type { OrderLine } from '../documents/problem.ts'
import { isUnallocated } from '../insertion/surplus.ts'
import type { Placement, Surplus } from '../model/batch.ts'
import { runKey, surplusLeaves } from '../model/batch.ts'
import { fleetIndex, type LineModel, type Model } from '../model/model.ts'
import type { State } from '../model/state.ts'
import { cleanAgain, type Overdrawn, overdrawn } from '../model/stores-fleets.ts'
import { byUrgency } from './carry-forward.ts'
import type { PlanEdit } from './plan-edit.ts'

/** Most lines that make room; where more would have to, the plan is better opened anew. */
const MOST_REMOVED = 50

/** A line that made room: as it is to be placed anew, and as it is wanted. */
export interface RemovedLine {
  placed: OrderLine
  wanted: OrderLine
}

/**
 * Takes out stock runs, and lifts the placements of lines, until all fleets and stores are within bounds. Answers the lines,
 * none to be brought forward within the frozen days, the most urgent first; undefined where that does not help, as where runs stay that are frozen or fixed.
 */
export function restoreCapacity(
  state: State,
  edit: PlanEdit,
  orderLines: readonly OrderLine[],
): RemovedLine[] | undefined {
  const { lines, indexOf } = state.model
  const removed: RemovedLine[] = []
  for (let over = overdrawn(state); over; over = overdrawn(state)) {
    const stock = lastStock(state, over)
    if (stock) {
      edit.unstock(stock)
      continue
    }
    let last: { line: OrderLine; placement: Placement } | undefined
    for (const line of orderLines) {
      const index = indexOf.line.get(line.id)
      const placement = index === undefined ? undefined : state.placements[index]
      if (!placement || index === undefined || !uses(state.model, lines[index], placement, over)) continue
      if (!last || byUrgency(last.line, line) <= 0) last = { line, placement }
    }
    if (!last || removed.length === MOST_REMOVED) return undefined
    edit.lift(last.placement)
    removed.push({ placed: stayingBack(state.model, last.line, last.placement), wanted: last.line })
  }
  return removed.sort((a, b) => byUrgency(a.wanted, b.wanted))
}

/** A line that is placed, as it may be placed anew: not brought forward within the frozen days. */
function stayingBack({ problem, today }: Model, line: OrderLine, { deliveries }: Placement): OrderLine {
  const first = Math.min(...deliveries.map(({ serve }) => serve))
  return notBroughtForward(problem, line, localDateOf(today + first))
}

/** The last run to stock that uses a fleet or a store on a day, may change (F1) and is unallocated still. */
function lastStock(state: State, over: Overdrawn): Surplus | undefined {
  const { model } = state
  let last: Surplus | undefined
  for (const each of state.surpluses) {
    const { batch, filler, day, pack, quantity } = each
    if (quantity === 0 || (last && last.day > day)) continue
    const { type, shelf } = model.packs[pack]
    const leaves = surplusLeaves(model, day + shelf)
    const washDays = model.fleets[fleetIndex(model, batch.site, type)]?.washDays ?? 0
    const back = leaves < model.horizon ? leaves + washDays : Number.POSITIVE_INFINITY
    if (!takes(model, { site: batch.site, pack, day, leaves, back }, over)) continue
    if (!batch.runAt.get(runKey(model, filler, day, pack))?.fixed && isUnallocated(state, each)) last = each
  }
  return last
}

/** Whether what is filled for a line uses a fleet or a store on a day. */
function uses(model: Model, line: LineModel, { deliveries }: Placement, over: Overdrawn): boolean {
  return deliveries.some(({ route, dispatch, serve, runs }) => {
    const { site } = model.routes[route]
    const back = cleanAgain(model, line, site, serve)
    return runs.some(({ day }) => takes(model, { site, pack: line.pack, day, leaves: dispatch, back }, over))
  })
}

/** A container that is filled on a day, stands until the day before `leaves` and is clean again on the day `back`. */
interface Filled {
  site: number
  pack: number
  day: number
  leaves: number
  back: number
}

/** Whether a container takes of a fleet (C1), or stands in a store (S1), on the day on which that has too little. */
function takes(model: Model, { site, pack, day, leaves, back }: Filled, over: Overdrawn): boolean {
  const { type, warm, conditioning } = model.packs[pack]
  const until = over.kind === 'FLEET' ? back : leaves
  if (over.day < day || over.day >= until) return false
  if (over.kind === 'FLEET') return over.index === fleetIndex(model, site, type)
  return over.index === site * 2 + (warm && over.day < day + conditioning ? 1 : 0)
}
