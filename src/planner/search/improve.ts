// Ruin and recreate under a cooling acceptance: take related lines out, place them again, keep the result if it is
// good enough for how late it is.
import { runKey } from './batch.ts'
import { Journal } from './journal.ts'
import type { LineModel } from './model.ts'
import { below, type Random } from './random.ts'
import { arrange, placeAll, stockTouched } from './recreate.ts'
import { RUINS } from './ruins.ts'
import { resequence } from './sequence.ts'
import type { Taste } from './sources.ts'
import type { Placement, State, Surplus } from './state.ts'
import { holds } from './stores-fleets.ts'

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
  const keep = new Set(to.surpluses)
  for (const surplus of [...state.surpluses]) if (!keep.has(surplus)) state.applySurplus(surplus, -1)
  for (const [index, placement] of state.placements.entries()) {
    if (placement && placement !== to.placements[index]) state.remove(placement)
  }
  for (const placement of to.placements) {
    if (placement && state.placements[placement.line.index] !== placement) state.apply(placement)
  }
  for (const surplus of to.surpluses) if (!state.surpluses.has(surplus)) state.applySurplus(surplus, 1)
}

/** How far the search is, from 0 to 1; at 1 it stops. A function of the steps done, or of a clock outside. */
export type Schedule = (steps: number) => number

export interface Improvement {
  random: Random
  schedule: Schedule
  /** Called after every accepted step (tests compare the cost here). */
  onAccepted?: (state: State) => void
  /** Called with every better plan's cost. */
  onBest?: (steps: number, cost: number) => void
  /** Stock runs that must stay (F1). */
  held: ReadonlySet<Surplus>
  /** Does the plan as it stands keep what it must (F2)? Asked of every plan that is cheap enough to go on with. */
  keeps?: () => boolean
}

/**
 * Starting temperature as a share of the cost, per line, what is left of it at the end, and how fast it falls. Hot at first: to
 * give a vessel's days to other brews, a few lines must go unserved for a while. The small savings need most of the steps.
 */
const WARMTH = 30
const COLDEST = 1e-6
const COOLING = 4

/** Improves the plan in `state` until the schedule ends; leaves the best plan found in it. Answers the steps done. */
export function improve(state: State, { random, schedule, onAccepted, onBest, held, keeps }: Improvement): number {
  const { lines } = state.model
  let best = snapshot(state)
  if (lines.length === 0) return 0
  let cost = best.cost
  const orders = new Sequencing()
  let steps = 0
  for (let progress = schedule(0); progress < 1; progress = schedule(steps)) {
    steps++
    const warm = (best.cost / lines.length) * WARMTH * Math.max(COLDEST, (1 - progress) ** COOLING)
    const journal = new Journal(state)
    state.touched.clear()
    const sequencing = random() < orders.share
    if (sequencing ? !resequence(state, random, journal) : !ruinAndRecreate(state, random, journal, held)) {
      if (sequencing) orders.failed()
      journal.undo()
      continue
    }
    stockTouched(state, journal, random)
    const after = state.cost
    if (sequencing) orders.tried(after < cost - 1e-7)
    if (after < cost - warm * Math.log(1 - random()) && holds(state) && (!keeps || keeps())) {
      cost = after
      onAccepted?.(state)
      if (cost < best.cost - 1e-7) {
        best = snapshot(state)
        onBest?.(steps, cost)
      }
    } else journal.undo()
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

const TOTAL_WEIGHT = RUINS.reduce((sum, each) => sum + each.weight, 0)

/** Takes related lines out and places them again; answers false where there were none. */
function ruinAndRecreate(state: State, random: Random, journal: Journal, held: ReadonlySet<Surplus>): boolean {
  const { lines } = state.model
  const most = Math.max(3, Math.min(12, Math.ceil(lines.length * 0.45)))
  let ticket = random() * TOTAL_WEIGHT
  const chosen = RUINS.find((each) => {
    ticket -= each.weight
    return ticket < 0
  })
  const removed = (chosen ?? RUINS[0]).ruin(state, random, 1 + below(random, most))
  if (removed.length === 0) return false
  takeOut(state, removed, journal, held)
  addUnserved(state, removed, random)
  placeAll(state, arrange(removed, random), tasteOf(random), journal)
  return true
}

/** Lifts lines and, so that their beer is free, the stock runs of the same beers at hand. */
function takeOut(state: State, lines: LineModel[], journal: Journal, held: ReadonlySet<Surplus>): void {
  const beers = new Set<number>()
  for (const line of lines) {
    beers.add(line.beer)
    const placement = state.placements[line.index]
    if (placement) journal.lift(placement)
  }
  for (const surplus of [...state.surpluses]) {
    if (!held.has(surplus) && beers.has(surplus.batch.beer)) {
      const run = surplus.batch.runAt.get(runKey(state.model, surplus.filler, surplus.day, surplus.pack))
      // A delivery may have taken some of it.
      if (surplus.quantity === 0 || (run && run.surplus >= surplus.quantity)) journal.unstock(surplus)
    }
  }
}

/** Adds a few lines that are not served now, those of the same beers first. */
function addUnserved(state: State, removed: LineModel[], random: Random): void {
  const { lines } = state.model
  const chosen = new Set(removed)
  const beers = new Set(removed.map((line) => line.beer))
  const room = 3 + below(random, 5)
  const start = below(random, lines.length)
  let added = 0
  for (let step = 0; step < Math.min(lines.length, 400) && added < room; step++) {
    const line = lines[(start + step) % lines.length]
    if (state.placements[line.index] || chosen.has(line) || !(beers.has(line.beer) || random() < 0.1)) continue
    removed.push(line)
    chosen.add(line)
    added++
  }
}

function tasteOf(random: Random): Taste {
  const mood = random()
  return {
    random,
    blink: random() < 0.3 ? 0 : 0.08 * random(),
    brewShare: mood < 0.35 ? 1 : mood < 0.6 ? 0.3 : 0,
    brewTries: 2 + below(random, 5),
  }
}
