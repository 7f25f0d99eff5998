// Improvement under a cooling acceptance: change something of the plan, keep the result if it is good enough for how late
// it is.

import type { Placement, Surplus } from '../model/batch.ts'
import type { Random } from '../model/random.ts'
import type { State } from '../model/state.ts'
import { holds } from '../model/stores-fleets.ts'
import { UndoLog } from '../model/undo-log.ts'
import { changeSome } from './moves.ts'
import { stockTouched } from './recreate.ts'
import { resequence } from './sequence.ts'

/** A plan of the search, to come back to. */
export interface Snapshot {
  cost: number
  placements: (Placement | undefined)[]
  surpluses: Surplus[]
}

/** Remembers the plan as it stands. */
export function snapshot(state: State): Snapshot {
  return { cost: state.cost, placements: [...state.placements], surpluses: [...state.surpluses] }
}

/** Brings the state back to a remembered plan. */
export function restore(state: State, to: Snapshot): void {
  const log = new UndoLog(state)
  const keep = new Set(to.surpluses)
  for (const surplus of [...state.surpluses]) if (!keep.has(surplus)) log.unstock(surplus)
  for (const [index, placement] of state.placements.entries()) {
    if (placement && placement !== to.placements[index]) log.lift(placement)
  }
  for (const placement of to.placements) {
    if (placement && state.placements[placement.line.index] !== placement) log.place(placement)
  }
  for (const surplus of to.surpluses) if (!state.surpluses.has(surplus)) log.stock(surplus)
}

/** How far the search is, from 0 to 1; at 1 it stops. A function of the steps done, or of a clock outside. */
export type Schedule = (steps: number) => number

export interface Improvement {
  random: Random
  schedule: Schedule
  /** How fast the temperature falls: it goes with this power of what is left of the schedule. */
  cooling: number
  /** Called after every accepted step (tests compare the cost here). */
  onAccepted?: (state: State) => void
  /** Called with every better plan's cost. */
  onBest?: (steps: number, cost: number) => void
  /** Called for every plan that would be better than the best, did it not ask too much of a fleet or a store. */
  onOverdrawn?: () => void
  /** Stock runs that must stay (F1). */
  held: ReadonlySet<Surplus>
  /** Does the plan as it stands keep what it must (F2)? Asked of every plan that is cheap enough to go on with. */
  keeps?: () => boolean
}

/**
 * Starting temperature as a share of the cost, per line, and what is left of it at the end. Hot at first: to give a vessel's
 * days to other brews, a few lines must go unserved for a while. The small savings need most of the steps.
 */
const WARMTH = 30
const COLDEST = 1e-6

/** Improves the plan in `state` until the schedule ends; leaves the best plan found in it. Answers the steps done. */
export function improve(state: State, improvement: Improvement): number {
  const { random, schedule, cooling, onAccepted, onBest, onOverdrawn, held, keeps } = improvement
  const { lines } = state.model
  let best = snapshot(state)
  if (lines.length === 0) return 0
  let cost = best.cost
  const orders = new Sequencing()
  let steps = 0
  for (let progress = schedule(0); progress < 1; progress = schedule(steps)) {
    steps++
    const warm = (best.cost / lines.length) * WARMTH * Math.max(COLDEST, (1 - progress) ** cooling)
    const log = new UndoLog(state)
    state.touched.clear()
    const sequencing = random() < orders.share
    if (sequencing ? !resequence(log, random) : !changeSome(log, random, held)) {
      if (sequencing) orders.failed()
      log.undo()
      continue
    }
    stockTouched(log, random)
    const after = state.cost
    if (sequencing) orders.tried(after < cost - 1e-7)
    const cheap = after < cost - warm * Math.log(1 - random())
    const within = cheap && holds(state)
    if (cheap && !within && after < best.cost - 1e-7) onOverdrawn?.()
    if (within && (!keeps || keeps())) {
      cost = after
      onAccepted?.(state)
      if (cost < best.cost - 1e-7) {
        best = snapshot(state)
        onBest?.(steps, cost)
      }
    } else log.undo()
  }
  if (state.cost > best.cost + 1e-9) restore(state, best)
  return steps
}

/** How often lines of a filler are put into another order: more often while that helps. */
class Sequencing {
  share = 0.25

  tried(helped: boolean): void {
    this.share = helped ? Math.min(0.6, this.share * 1.5) : Math.max(0.005, this.share * 0.95)
  }

  failed(): void {
    this.share = Math.max(0.005, this.share * 0.8)
  }
}
