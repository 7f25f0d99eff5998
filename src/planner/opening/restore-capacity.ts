// Bringing fleets and stores back within bounds (C1, S1) after a plan was loaded for a problem that has changed: too few
// clean containers, or too much in a store. As little as can be is taken out, what matters least first.

import { isUnallocated } from '../insertion/surplus.ts'
import type { Placement, Surplus } from '../model/batch.ts'
import { runKey } from '../model/batch.ts'
import { fleetIndex } from '../model/model.ts'
import type { State } from '../model/state.ts'
import { UndoLog } from '../model/undo-log.ts'
import { SLACK } from '../model/units.ts'

/** A fleet (C1) or a store (S1) that is asked for too much on a day. */
export type Breach =
  | { rule: 'C1'; site: number; type: number; day: number }
  | { rule: 'S1'; store: number; day: number }

/** A run that had to stay (F1), and what took containers out of it. */
export interface Cut {
  surplus: Surplus
  breach: Breach
}

/**
 * Takes out what fleets and stores cannot bear: first what is filled for no line, then lines, then runs that had to stay.
 * Lines that were lifted can be placed again. `held` are the stock runs that had to stay; it is kept up to date, and the
 * answer tells which of them were cut.
 */
export function restoreCapacity(state: State, held: Set<Surplus>): Cut[] {
  const log = new UndoLog(state)
  const cuts: Cut[] = []
  for (let breach = firstBreach(state); breach; breach = firstBreach(state)) {
    if (easeByStock(log, breach, held) || easeByLines(log, breach)) continue
    const surplus = easeByHeld(log, breach, held)
    if (!surplus) break
    cuts.push({ surplus, breach })
  }
  return cuts
}

/** The first day on which a fleet or a store is asked for too much; undefined where all is within bounds. */
function firstBreach(state: State): Breach | undefined {
  const { model } = state
  const types = model.types.length
  for (let day = 0; day < model.horizon; day++) {
    for (let fleet = 0; fleet < state.clean.length; fleet++) {
      const breach: Breach = { rule: 'C1', site: Math.floor(fleet / types), type: fleet % types, day }
      if (isOver(breach, excess(state, breach))) return breach
    }
    for (let store = 0; store < model.stores.length; store++) {
      const breach: Breach = { rule: 'S1', store, day }
      if (isOver(breach, excess(state, breach))) return breach
    }
  }
  return undefined
}

/** By how many containers or units a bound is passed; 0 or less where it is not. */
function excess(state: State, breach: Breach): number {
  const { model } = state
  const { day } = breach
  if (breach.rule === 'C1') return -(state.clean[fleetIndex(model, breach.site, breach.type)]?.[day] ?? 0)
  const planned = state.storePlan[breach.store][day]
  // S1: with nothing planned in it, a store may be over-full.
  return planned > 0 ? planned + state.storeStock[breach.store][day] - model.stores[breach.store] : 0
}

function isOver(breach: Breach, over: number): boolean {
  return over > (breach.rule === 'S1' ? SLACK : 0)
}

/** Does it matter for the breach what is filled of a pack at a site? */
function concerns(state: State, breach: Breach, site: number, packIndex: number): boolean {
  const pack = state.model.packs[packIndex]
  if (breach.rule === 'C1') return site === breach.site && pack.type === breach.type
  return site === breach.store >> 1 && (breach.store % 2 === 0 || pack.warm)
}

/** Takes out stock runs that need not stay and that are unallocated still, those of the last days first, until the breach is eased. */
function easeByStock(log: UndoLog, breach: Breach, held: ReadonlySet<Surplus>): boolean {
  const { state } = log
  const stock = [...state.surpluses].filter(
    (each) =>
      !held.has(each) &&
      each.quantity > 0 &&
      concerns(state, breach, each.batch.site, each.pack) &&
      isUnallocated(state, each),
  )
  stock.sort((a, b) => b.day - a.day || a.batch.serial - b.batch.serial)
  return ease(
    state,
    breach,
    stock,
    (surplus) => log.unstock(surplus),
    (surplus) => log.stock(surplus),
  )
}

/** Lifts lines, those first that cost least if not served, until the breach is eased. */
function easeByLines(log: UndoLog, breach: Breach): boolean {
  const { state } = log
  const placed = state.placements.filter(
    (each): each is Placement =>
      each?.deliveries.some((delivery) =>
        concerns(state, breach, state.model.routes[delivery.route].site, each.line.pack),
      ) ?? false,
  )
  placed.sort(
    (a, b) => a.line.unservedRate - b.line.unservedRate || b.line.dueOn - a.line.dueOn || a.line.index - b.line.index,
  )
  return ease(
    state,
    breach,
    placed,
    (placement) => log.lift(placement),
    (placement) => log.place(placement),
  )
}

/**
 * Takes things out, one after the other, where that eases the breach, until it is no more; then puts back what can stay,
 * the last first. Answers whether anything stayed out.
 */
function ease<T>(
  state: State,
  breach: Breach,
  things: T[],
  out: (thing: T) => void,
  back: (thing: T) => void,
): boolean {
  const taken: T[] = []
  let over = excess(state, breach)
  for (const thing of things) {
    if (!isOver(breach, over)) break
    out(thing)
    const now = excess(state, breach)
    if (now < over) {
      taken.push(thing)
      over = now
    } else back(thing)
  }
  let stayedOut = 0
  for (const thing of taken.reverse()) {
    back(thing)
    if (!isOver(breach, excess(state, breach))) continue
    out(thing)
    stayedOut++
  }
  return stayedOut > 0
}

/** Cuts one run that had to stay by as much as is needed, the one that suffices and lies last first; answers which. */
function easeByHeld(log: UndoLog, breach: Breach, held: Set<Surplus>): Surplus | undefined {
  const { state } = log
  const over = excess(state, breach)
  const needed = ({ pack }: Surplus) =>
    breach.rule === 'C1' ? over : Math.ceil((over - SLACK) / Math.max(1, state.model.packs[pack].nominal))
  const runs = [...held].filter(
    (each) => each.quantity > 0 && concerns(state, breach, each.batch.site, each.pack) && each.day <= breach.day,
  )
  const suffices = (each: Surplus) => Number(each.quantity >= needed(each))
  runs.sort((a, b) => suffices(b) - suffices(a) || b.day - a.day || b.quantity - a.quantity)
  for (const surplus of runs) {
    const { mark } = log
    liftTakers(log, surplus, Math.min(needed(surplus), surplus.quantity))
    const quantity = Math.max(0, surplus.quantity - needed(surplus))
    const rest: Surplus = { ...surplus, quantity }
    // The smaller one first, so that the run never ceases to be.
    if (quantity > 0) log.stock(rest)
    log.unstock(surplus)
    if (excess(state, breach) < over) {
      held.delete(surplus)
      if (quantity > 0) held.add(rest)
      return surplus
    }
    log.undoTo(mark)
  }
  return undefined
}

/** Lifts lines that take from a run until so many of its containers are unallocated. */
function liftTakers(log: UndoLog, surplus: Surplus, quantity: number): void {
  const { state } = log
  const { batch, filler, day, pack } = surplus
  const run = batch.runAt.get(runKey(state.model, filler, day, pack))
  const takers = [...batch.users].filter((user) =>
    user.deliveries.some(({ runs }) =>
      runs.some((take) => take.batch === batch && take.filler === filler && take.day === day && take.pack === pack),
    ),
  )
  takers.sort((a, b) => a.line.unservedRate - b.line.unservedRate || a.line.index - b.line.index)
  for (const taker of takers) {
    if (!run || run.surplus >= quantity) break
    log.lift(taker)
  }
}
