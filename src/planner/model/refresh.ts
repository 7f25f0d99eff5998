// Brings a batch up to date after its runs changed: its draws, its stays, its size, what is left over, the ledger.
import type { BaselineKeys } from './baseline-keys.ts'
import type { Batch, Occupant } from './batch.ts'
import type { BindingConstraints, Tallies } from './constraint.ts'
import { TERM } from './model.ts'
import type { Scratch } from './scratch.ts'
import { deadline, earliestEnd, size } from './sizing.ts'
import { SLACK } from './units.ts'
import { enter, leave, mayKeep, predecessor, successor } from './vessels.ts'

/** The part of the state that follows from batches; only `refresh` changes it. */
export interface Books extends Tallies {
  /** Brews by site and day (V1). */
  readonly brewsUsed: Int32Array[]
  readonly constraints: BindingConstraints
  readonly ledger: Float64Array
  /** By vessel, in the order of time. */
  readonly stays: Occupant[][]
  /** Active batches by beer × site. */
  readonly batches: Batch[][]
  readonly touched: Set<Batch>
  readonly baseline: BaselineKeys
  /** Brews of the baseline that a batch of the plan carries on. */
  readonly claimed: Set<number>
  readonly scratch: Scratch
  /** The id that a batch carries from outside. */
  identity(batch: Batch): { id: string | undefined }
}

/** Recomputes everything that follows from a batch's runs and transfer. */
export function refresh(state: Books, batch: Batch): void {
  const wasActive = batch.active
  sumDraws(state, batch)
  const active = batch.standing >= 0 || batch.fixed || batch.runs.length > 0 || batch.transferHolds > 0
  if (active !== wasActive) activate(state, batch, active)
  const needsBright =
    active &&
    batch.fermenter >= 0 &&
    batch.transferOn >= 0 &&
    (batch.transferFixed || batch.transferHolds > 0 || drawsBright(batch))
  if (batch.fermenter >= 0) {
    if (needsBright && !batch.brightStay) {
      batch.brightStay = arrive(state, batch, 1, batch.bright, batch.transferOn)
      countTransfer(state, batch, 1)
    } else if (!needsBright) {
      if (batch.brightStay) {
        countTransfer(state, batch, -1)
        depart(state, batch.brightStay)
        batch.brightStay = undefined
      }
      batch.transferOn = -1
      batch.bright = -1
    }
  }
  settle(state, batch)
}

function drawsBright(batch: Batch): boolean {
  return batch.lastBrightDraw >= 0
}

function sumDraws(state: Books, batch: Batch): void {
  const { packs, fillers } = state.model
  batch.fromFermenter = 0
  batch.fromBright = 0
  batch.firstFermenterDraw = Number.POSITIVE_INFINITY
  batch.lastFermenterDraw = -1
  batch.firstBrightDraw = Number.POSITIVE_INFINITY
  batch.lastBrightDraw = -1
  for (const run of batch.runs) {
    const pack = packs[run.pack]
    const drawn = (run.alloc + run.surplus) * pack.draw
    if (pack.bright) {
      batch.fromBright += drawn
      if (run.day < batch.firstBrightDraw) batch.firstBrightDraw = run.day
      if (run.day > batch.lastBrightDraw) batch.lastBrightDraw = run.day
    } else {
      batch.fromFermenter += drawn
      if (run.day < batch.firstFermenterDraw) batch.firstFermenterDraw = run.day
      if (run.day > batch.lastFermenterDraw) batch.lastFermenterDraw = run.day
    }
  }
  for (const setup of batch.setups) {
    // A set-up that serves both stages loses its beer where it draws first that day (T4).
    if (setup.fromFermenter > 0) batch.fromFermenter += fillers[setup.filler].setupLoss
    else batch.fromBright += fillers[setup.filler].setupLoss
  }
}

/** A planned batch comes into being with its first placement and goes with its last. */
function activate(state: Books, batch: Batch, active: boolean): void {
  batch.active = active
  const list = state.batches[batch.beer * state.model.sites.length + batch.site]
  if (active) {
    list.push(batch)
    if (batch.fermenter >= 0)
      batch.fermenterStay = arrive(state, batch, 0, batch.fermenter, batch.standing >= 0 ? -1 : batch.brewOn)
    else batch.brightStay = arrive(state, batch, 1, batch.bright, -1)
  } else {
    list.splice(list.indexOf(batch), 1)
    if (batch.fermenterStay) depart(state, batch.fermenterStay)
    batch.fermenterStay = undefined
    if (batch.fermenter < 0 && batch.brightStay) {
      depart(state, batch.brightStay)
      batch.brightStay = undefined
    }
  }
  if (batch.baseline >= 0) {
    if (active) state.claimed.add(batch.baseline)
    else state.claimed.delete(batch.baseline)
    const key = `${batch.beer}:${batch.fermenter}:${batch.brewOn}`
    if (state.baseline.brews.get(key) === batch.baseline) state.ledger[TERM.churn] += active ? -1 : 1
  }
}

/** Counts a transfer that came into the plan, or one that went: for the constraints, and the churn of one that the baseline has. */
function countTransfer(state: Books, batch: Batch, sign: 1 | -1): void {
  for (const count of state.constraints.onTransfer) count(state, batch, batch.transferOn, sign)
  const { id } = state.identity(batch)
  if (id !== undefined && state.baseline.transfers.has(`${id}|${batch.bright}|${batch.transferOn}`)) {
    state.ledger[TERM.churn] -= sign
  }
}

function arrive(state: Books, batch: Batch, stage: 0 | 1, vessel: number, start: number): Occupant {
  const stay: Occupant = { batch, stage, vessel, start, end: Math.max(start, 0) }
  const stays = state.stays[vessel]
  enter(stays, stay)
  const before = predecessor(stays, stay)
  if (before) settle(state, before.batch)
  return stay
}

function depart(state: Books, stay: Occupant): void {
  const stays = state.stays[stay.vessel]
  const before = predecessor(stays, stay)
  leave(stays, stay)
  if (before) settle(state, before.batch)
}

/** Sizes the batch, decides what happens to the beer left over, sets the ends of its stays, and books the cost. */
function settle(state: Books, batch: Batch): void {
  const { model, ledger } = state
  state.touched.add(batch)
  ledger[TERM.dumped] -= batch.dumpedUnits
  ledger[TERM.unsold] -= batch.unsoldUnits
  ledger[TERM.brew] -= batch.brews
  if (batch.brews > 0) state.brewsUsed[batch.site][batch.brewOn] -= batch.brews
  batch.dumpedUnits = 0
  batch.unsoldUnits = 0
  batch.brews = 0
  if (!batch.active) return
  const { economics } = state.scratch
  size(economics, model, batch, batch.fromFermenter, batch.fromBright, batch.brightStay ? batch.bright : -1)
  batch.drawable = economics.drawable
  batch.brewed = economics.brewed
  batch.brews = economics.brews
  batch.left = economics.left
  batch.leftAtTransfer = economics.leftAtTransfer
  const stay = batch.brightStay ?? batch.fermenterStay
  if (!stay) return
  if (batch.brightStay && batch.fermenterStay) batch.fermenterStay.end = batch.transferOn
  const next = successor(state.stays[stay.vessel], stay)
  batch.kept = batch.left > SLACK && mayKeep(model, batch, batch.transferOn, stay, next)
  if (batch.kept) stay.end = model.horizon - 1
  else stay.end = batch.left > SLACK ? dumpDay(state, batch, stay, next) : earliestEnd(stay)
  batch.dumpedUnits = batch.leftAtTransfer + (batch.kept ? 0 : batch.left)
  batch.unsoldUnits = batch.kept ? batch.left : 0
  ledger[TERM.dumped] += batch.dumpedUnits
  ledger[TERM.unsold] += batch.unsoldUnits
  ledger[TERM.brew] += batch.brews
  if (batch.brews > 0) state.brewsUsed[batch.site][batch.brewOn] += batch.brews
}

/** Beer that is not drawn is dumped as late as may be; what a last draw leaves goes that day and frees the vessel. */
function dumpDay(state: Books, batch: Batch, stay: Occupant, next: Occupant | undefined): number {
  const drawn = stay.stage === 1 ? batch.lastBrightDraw : batch.lastFermenterDraw
  const first = earliestEnd(stay)
  if (drawn >= 0) return first
  const vessel = state.model.vessels[stay.vessel]
  let until = next ? next.start - vessel.turnaround - 1 : state.model.horizon - 1
  if (stay.start >= 0) {
    for (const span of vessel.outOfService) if (span.from > stay.start) until = Math.min(until, span.from - 1)
  }
  return Math.max(first, Math.min(until, deadline(state.model, batch, batch.transferOn), state.model.horizon - 1))
}
