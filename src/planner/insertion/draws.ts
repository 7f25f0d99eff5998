// What drawing so many containers from a batch would cost and how many could be drawn, without touching the plan.
import { litresOf } from '../documents/brews.ts'
import type { Batch, Occupant } from '../model/batch.ts'
import { type Model, TERM } from '../model/model.ts'
import { deadline, economics, size } from '../model/sizing.ts'
import type { State } from '../model/state.ts'
import { LITRE, SLACK } from '../model/units.ts'
import { canLast, fits, inService, lastsTo, mayKeep, successor } from '../model/vessels.ts'
import { mayTransferOn } from '../model/work-days.ts'

/** A transfer that a draw brings with it. */
export interface Transfer {
  on: number
  bright: number
}

/** Cost of a batch in the ledger as it stands: brews, beer dumped, beer left. */
export function batchCost(model: Model, batch: Batch): number {
  const { rates } = model
  return (
    batch.brews * rates[TERM.brew] + batch.dumpedUnits * rates[TERM.dumped] + batch.unsoldUnits * rates[TERM.unsold]
  )
}

/**
 * Is a draw from the batch allowed on that day by V4, V5, V7, V8, V10 and the vessel's other stays (V3)? A brew that is
 * not in the plan yet is judged as if this draw brought it there.
 */
export function mayDraw(
  state: State,
  batch: Batch,
  packIndex: number,
  day: number,
  transfer: Transfer | undefined,
): boolean {
  const { model } = state
  const pack = model.packs[packIndex]
  if (batch.quarantined) return false
  if (pack.primingWindow >= 0 && (!batch.primable || day > batch.ready + pack.primingWindow)) return false
  const beer = model.beers[batch.beer]
  if (!pack.bright) {
    if (batch.fermenter < 0 || day < batch.ready || day > batch.fermenterDeadline) return false
    if (batch.transferOn >= 0 && batch.fermenter >= 0 && day > batch.transferOn) return false
    const first = Math.min(batch.firstFermenterDraw, batch.openedOn, day)
    if (Math.max(batch.lastFermenterDraw, day) - first > beer.maxOpenDays) return false
    return batch.transferOn >= 0 || fermenterLasts(state, batch, day)
  }
  const transferOn = transfer ? transfer.on : batch.transferOn
  if (day < transferOn + beer.brightDays) return false
  const first = Math.min(batch.firstBrightDraw, batch.fermenter < 0 ? batch.openedOn : Number.POSITIVE_INFINITY, day)
  if (Math.max(batch.lastBrightDraw, day) - first > beer.maxOpenDays) return false
  const last = deadline(model, batch, transferOn)
  if (day > last || (transfer && last <= transferOn)) return false
  if (transfer)
    return fits(model, state.stays[transfer.bright], transfer.bright, transfer.on, Math.max(day, transfer.on + 1))
  const stay = batch.brightStay
  return stay !== undefined && canLast(model, state.stays[stay.vessel], stay, day)
}

/** First and last day of draws that `mayDraw` allows without a new transfer. Reused between calls: read it before the next one. */
export const drawDays = { from: 0, to: -1 }

/** Finds the days on which a batch of the plan may be drawn for a pack as it stands, into `drawDays`; none: `to` < `from`. */
export function findDrawDays(state: State, batch: Batch, packIndex: number): void {
  const { model } = state
  const pack = model.packs[packIndex]
  const beer = model.beers[batch.beer]
  drawDays.from = 0
  drawDays.to = -1
  const stay = pack.bright ? batch.brightStay : batch.fermenterStay
  if (!stay || batch.quarantined || (pack.primingWindow >= 0 && !batch.primable)) return
  const opened = batch.fermenter < 0 || !pack.bright ? batch.openedOn : Number.POSITIVE_INFINITY
  const first = Math.min(opened, pack.bright ? batch.firstBrightDraw : batch.firstFermenterDraw)
  const last = pack.bright ? batch.lastBrightDraw : batch.lastFermenterDraw
  let to = first + beer.maxOpenDays
  if (pack.primingWindow >= 0) to = Math.min(to, batch.ready + pack.primingWindow)
  let from = pack.bright ? batch.transferOn + beer.brightDays : batch.ready
  if (last >= 0) from = Math.max(from, last - beer.maxOpenDays)
  if (pack.bright) to = Math.min(to, deadline(model, batch, batch.transferOn))
  else to = Math.min(to, batch.fermenterDeadline, batch.transferOn >= 0 ? batch.transferOn : Number.POSITIVE_INFINITY)
  if (pack.bright || batch.transferOn < 0) to = Math.min(to, lastsTo(model, state.stays[stay.vessel], stay))
  drawDays.from = Math.max(0, from)
  drawDays.to = Math.min(to, model.horizon - 1)
}

/** Can the batch stand in its fermenter to that day, beside who else stands there (V3)? */
export function fermenterLasts(state: State, batch: Batch, to: number): boolean {
  const { model } = state
  const stays = state.stays[batch.fermenter]
  const stay = batch.fermenterStay
  return stay ? canLast(model, stays, stay, to) : fits(model, stays, batch.fermenter, batch.brewOn, to)
}

/** Can the batch be moved so in the plan as it stands (T2, V3, V4, V5, V8, V11)? */
export function transferable(state: State, batch: Batch, transfer: Transfer | undefined): boolean {
  const { model } = state
  // Quarantined beer is neither drawn nor moved (V8).
  if (!transfer || batch.quarantined) return false
  const bright = model.vessels[transfer.bright]
  if (!bright.bright || bright.site !== batch.site || !mayTransferOn(state, batch.site, transfer.on)) return false
  if (transfer.on < Math.max(batch.ready, batch.lastFermenterDraw) || transfer.on > batch.fermenterDeadline)
    return false
  return fermenterLasts(state, batch, transfer.on)
}

/** Units that can still be drawn from a batch at a stage: of a brew, up to what its vessel and the brewhouse allow. */
export function mostUnits(state: State, batch: Batch, fromBright: boolean, transfer: Transfer | undefined): number {
  const { model } = state
  let drawable = batch.given
  if (batch.standing < 0) {
    const site = model.sites[batch.site]
    const free = site.brewsPerDay - state.brewsUsed[batch.site][batch.brewOn] + batch.brews
    const brewed = batch.fixed
      ? batch.given
      : Math.min(model.vessels[batch.fermenter].capacity, litresOf(free, site.brewLitres) * LITRE)
    drawable = Math.floor(brewed * (1 - model.beers[batch.beer].loss) + 1e-3)
  }
  if (batch.fermenter < 0) return drawable - batch.fromBright
  const bright = transfer ? transfer.bright : batch.bright
  if (bright < 0) return drawable - batch.fromFermenter
  const vessel = model.vessels[bright]
  const rest = drawable - batch.fromFermenter
  if (!fromBright) return rest - Math.max(batch.fromBright, vessel.minFill, batch.transferGiven)
  if (rest < Math.max(vessel.minFill, batch.transferGiven) - SLACK) return 0
  return Math.min(rest, batch.transferGiven >= 0 ? batch.transferGiven : vessel.capacity) - batch.fromBright
}

/** What the plan's cost changes by when `units` more are drawn; infinity where the batch cannot give them (V1, V2, V6). */
export function drawCost(
  state: State,
  batch: Batch,
  units: number,
  fromBright: boolean,
  transfer: Transfer | undefined,
): number {
  const { model } = state
  const { rates } = model
  const bright = transfer ? transfer.bright : batch.brightStay ? batch.bright : -1
  size(
    model,
    batch,
    batch.fromFermenter + (fromBright ? 0 : units),
    batch.fromBright + (fromBright ? units : 0),
    bright,
  )
  if (!economics.feasible) return Number.POSITIVE_INFINITY
  const { brews, left, leftAtTransfer } = economics
  if (brews > batch.brews) {
    const used = state.brewsUsed[batch.site][batch.brewOn] + brews - batch.brews
    if (used > model.sites[batch.site].brewsPerDay) return Number.POSITIVE_INFINITY
  }
  let keep = false
  let displaced = 0
  if (transfer) {
    const stays = state.stays[transfer.bright]
    keep = left > SLACK && mayStand(model, batch, transfer.on, transfer.bright, stays)
    displaced = displacedCost(state, stays, transfer.on)
  } else if (left > SLACK) {
    const stay = batch.brightStay ?? batch.fermenterStay
    if (stay) keep = mayKeep(model, batch, batch.transferOn, stay, successor(state.stays[stay.vessel], stay))
  }
  const after =
    brews * rates[TERM.brew] + leftAtTransfer * rates[TERM.dumped] + left * rates[keep ? TERM.unsold : TERM.dumped]
  return after - batchCost(model, batch) + displaced
}

/** May beer that enters a vessel on a day stand there to the end of the horizon? */
export function mayStand(model: Model, batch: Batch, transferOn: number, vessel: number, stays: Occupant[]): boolean {
  const from = transferOn >= 0 ? transferOn : batch.brewOn
  if (deadline(model, batch, transferOn) < model.horizon) return false
  const last = stays[stays.length - 1]
  return (!last || last.start < from) && inService(model, vessel, from, model.horizon - 1)
}

/** Cost of dumping what stands to the end in a vessel, where a new stay begins on a day. */
export function displacedCost(state: State, stays: Occupant[], from: number): number {
  const { rates } = state.model
  const last = stays[stays.length - 1]
  if (!last || last.start >= from || !last.batch.kept) return 0
  return last.batch.left * (rates[TERM.dumped] - rates[TERM.unsold])
}
