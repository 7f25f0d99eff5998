// Bringing fleets and stores back within bounds (C1, S1) where a plan asks them for too much: it was loaded for a problem that
// has changed, or lines left it and took with them the containers that they would have brought back.

import { isUnallocated } from '../insertion/surplus.ts'
import { type Placement, runKey, type Surplus } from '../model/batch.ts'
import { fleetIndex, type LineModel, type Model } from '../model/model.ts'
import type { State } from '../model/state.ts'
import { excess, isOver, type Overdrawn, overdrawn } from '../model/stores-fleets.ts'
import type { UndoLog } from '../model/undo-log.ts'
import { SLACK } from '../model/units.ts'

/** A run that had to stay (F1), what took containers out of it, and what is left of it, if anything. */
export interface Cut {
  surplus: Surplus
  over: Overdrawn
  rest: Surplus | undefined
}

/** How far the repair may go. */
interface Allowed {
  /** Most lines that are lifted. */
  lines: number
  /** Runs that have to stay (F1), and are cut where nothing else helps. */
  cut: Iterable<Surplus>
}

export interface Repair {
  /** What served lines that were lifted; they can be placed again. */
  lifted: Placement[]
  cuts: Cut[]
  /** Whether all fleets and stores are within bounds now. */
  complete: boolean
}

/**
 * Takes out what fleets and stores cannot bear, no more of it than needed: first what is filled for no line and may change (F1),
 * then lines, those first that matter least, then parts of runs that had to stay.
 */
export function restoreCapacity(log: UndoLog, allowed: Allowed): Repair {
  const { state } = log
  const held = new Set(allowed.cut)
  const repair: Repair = { lifted: [], cuts: [], complete: false }
  const { lifted, cuts } = repair
  for (let over = overdrawn(state); over; over = overdrawn(state)) {
    if (easeByStock(log, over)) continue
    const lines = easeByLines(log, over)
    if (lines.length === 0) {
      const cut = easeByCut(log, over, held)
      if (!cut) return repair
      cuts.push(cut.cut)
      lines.push(...cut.lifted)
    }
    lifted.push(...lines)
    if (lifted.length > allowed.lines) return repair
  }
  return { ...repair, complete: true }
}

/** Lines that matter less come first: without a promise, cheap to leave unserved, due late. */
function byImportance(a: LineModel, b: LineModel): number {
  return (
    Number(a.promised) - Number(b.promised) ||
    a.unservedRate - b.unservedRate ||
    b.dueOn - a.dueOn ||
    (a.id < b.id ? -1 : 1)
  )
}

/** Does it matter for the fleet or the store what is filled of a pack at a site? */
function concerns(model: Model, over: Overdrawn, site: number, packIndex: number): boolean {
  const pack = model.packs[packIndex]
  if (over.rule === 'C1') return over.index === fleetIndex(model, site, pack.type)
  return site === over.index >> 1 && (over.index % 2 === 0 || pack.warm)
}

/** Takes out stock runs that may change and that are unallocated still, those of the last days first. */
function easeByStock(log: UndoLog, over: Overdrawn): boolean {
  const { state } = log
  const { model } = state
  const stock = [...state.surpluses].filter(
    (each) =>
      each.quantity > 0 &&
      concerns(model, over, each.batch.site, each.pack) &&
      !each.batch.runAt.get(runKey(model, each.filler, each.day, each.pack))?.fixed &&
      isUnallocated(state, each),
  )
  stock.sort((a, b) => b.day - a.day || a.batch.serial - b.batch.serial)
  const out = ease(
    state,
    over,
    stock,
    (surplus) => log.unstock(surplus),
    (surplus) => log.stock(surplus),
  )
  return out.length > 0
}

/** Lifts lines, those first that matter least; answers what served them. */
function easeByLines(log: UndoLog, over: Overdrawn): Placement[] {
  const { state } = log
  const { routes } = state.model
  const placed = state.placements.filter(
    (each): each is Placement =>
      each?.deliveries.some(({ route }) => concerns(state.model, over, routes[route].site, each.line.pack)) ?? false,
  )
  placed.sort((a, b) => byImportance(a.line, b.line))
  return ease(
    state,
    over,
    placed,
    (placement) => log.lift(placement),
    (placement) => log.place(placement),
  )
}

/**
 * Takes things out, one after the other, where that helps, until no more is asked than there is; then puts back what can stay,
 * the last first. Answers what stayed out.
 */
function ease<T>(
  state: State,
  over: Overdrawn,
  things: readonly T[],
  out: (thing: T) => void,
  back: (thing: T) => void,
): T[] {
  const taken: T[] = []
  let before = excess(state, over)
  for (const thing of things) {
    if (!isOver(over, before)) break
    out(thing)
    const now = excess(state, over)
    if (now < before) {
      taken.push(thing)
      before = now
    } else back(thing)
  }
  const stayedOut: T[] = []
  for (const thing of taken.reverse()) {
    back(thing)
    if (!isOver(over, excess(state, over))) continue
    out(thing)
    stayedOut.push(thing)
  }
  return stayedOut
}

/** Cuts one run that had to stay by as much as is needed, the one that suffices and lies last first; keeps `held` up to date. */
function easeByCut(log: UndoLog, over: Overdrawn, held: Set<Surplus>): { cut: Cut; lifted: Placement[] } | undefined {
  const { state } = log
  const { model } = state
  const before = excess(state, over)
  const needed = ({ pack }: Surplus) =>
    over.rule === 'C1' ? before : Math.ceil((before - SLACK) / Math.max(1, model.packs[pack].nominal))
  const runs = [...held].filter(
    (each) => each.quantity > 0 && concerns(model, over, each.batch.site, each.pack) && each.day <= over.day,
  )
  const suffices = (each: Surplus) => Number(each.quantity >= needed(each))
  runs.sort((a, b) => suffices(b) - suffices(a) || b.day - a.day || b.quantity - a.quantity)
  for (const surplus of runs) {
    const { mark } = log
    const lifted = liftTakers(log, surplus, Math.min(needed(surplus), surplus.quantity))
    const quantity = Math.max(0, surplus.quantity - needed(surplus))
    const rest = quantity > 0 ? { ...surplus, quantity } : undefined
    // The smaller one first, so that the run never ceases to be.
    if (rest) log.stock(rest)
    log.unstock(surplus)
    if (excess(state, over) < before) {
      held.delete(surplus)
      if (rest) held.add(rest)
      return { cut: { surplus, over, rest }, lifted }
    }
    log.undoTo(mark)
  }
  return undefined
}

/** Lifts lines that take from a run until so many of its containers are unallocated; answers what served them. */
function liftTakers(log: UndoLog, { batch, filler, day, pack }: Surplus, quantity: number): Placement[] {
  const run = batch.runAt.get(runKey(log.state.model, filler, day, pack))
  const takers = [...batch.users].filter((user) =>
    user.deliveries.some(({ runs }) =>
      runs.some((take) => take.batch === batch && take.filler === filler && take.day === day && take.pack === pack),
    ),
  )
  takers.sort((a, b) => byImportance(a.line, b.line))
  const lifted: Placement[] = []
  for (const taker of takers) {
    if (!run || run.surplus >= quantity) break
    log.lift(taker)
    lifted.push(taker)
  }
  return lifted
}
