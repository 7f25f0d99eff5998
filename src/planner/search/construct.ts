// First plans: every line placed once, from several orders; brews that do not pay are dropped again.

import { place } from '../insertion/place.ts'
import { insertionPolicy } from '../insertion/policy.ts'
import type { Batch } from '../model/batch.ts'
import type { State } from '../model/state.ts'
import { holds } from '../model/stores-fleets.ts'
import { UndoLog } from '../model/undo-log.ts'
import { restore, type Snapshot, snapshot } from './improve.ts'
import { ORDERS, placeAll, stockTouched } from './recreate.ts'

/** A line pays its share of a new brew: the others of its beer come after it. */
const SHARED = insertionPolicy({ brewShare: 0, brewTries: 3 })
const WHOLE = insertionPolicy({ brewTries: 3 })

/** Places every line that is not placed, in the order of that number, then drops brews that do not pay. */
export function construct(state: State, order: number): void {
  const log = new UndoLog(state)
  const missing = state.model.lines.filter((line) => !state.placements[line.index])
  placeAll(log, missing.sort(ORDERS[order % ORDERS.length]), SHARED)
  dropPoorBrews(state)
  stockTouched(log)
}

/** Number of different first plans. */
export const CONSTRUCTIONS = ORDERS.length

/** Makes first plans by several orders and leaves the best in the state. */
export function constructBest(state: State, tries: number): void {
  const start = snapshot(state)
  let best: Snapshot | undefined
  for (let order = 0; order < tries; order++) {
    if (order > 0) restore(state, start)
    construct(state, order)
    if (!best || state.cost < best.cost) best = snapshot(state)
  }
  if (best) restore(state, best)
}

/** Takes each planned brew out in turn and places its lines elsewhere; keeps what is cheaper. */
function dropPoorBrews(state: State): void {
  const planned: Batch[] = state.batches.flat().filter((batch) => batch.standing < 0 && !batch.fixed)
  planned.sort((a, b) => a.fromFermenter + a.fromBright - (b.fromFermenter + b.fromBright) || a.serial - b.serial)
  for (const batch of planned) {
    if (!batch.active) continue
    const before = state.cost
    const log = new UndoLog(state)
    const lines = [...batch.users].map((user) => user.line).sort((a, b) => a.index - b.index)
    for (const user of [...batch.users]) log.lift(user)
    for (const line of lines) {
      const found = place(state, line, WHOLE)
      if (found && found.searchCost < 0) log.place(found.placement)
    }
    if (state.cost >= before - 1e-9 || !holds(state)) log.undo()
  }
}
