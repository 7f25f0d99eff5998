// The days of fills, brews and transfers: which of them all constraints admit, and the latest in a span.
import type { Batch, Transfer } from '../model/batch.ts'
import { type Days, endBy } from '../model/constraint.ts'
import type { State } from '../model/state.ts'
import { canLast, fits, fitsTo, lastsTo } from '../model/vessels.ts'
import { latest } from '../model/work-days.ts'

/** Latest fill day of a site from `to` down to `from` (T2); -1 where there is none. */
export function latestFillDay({ model }: State, site: number, to: number, from: number): number {
  return latest(model.sites[site].fillBy, to, from)
}

/** Latest day from `to` down to `from` on which a site may make one more brew; -1 where there is none. */
export function latestBrewDay(state: State, site: number, to: number, from: number): number {
  const { brewBy } = state.model.sites[site]
  let day = latest(brewBy, to, from)
  while (day >= 0 && !mayBrew(state, site, day, 1)) day = latest(brewBy, day - 1, from)
  return day
}

/** Latest day from `to` down to `from` on which one more transfer may start at a site; -1 where there is none. */
export function latestTransferDay(state: State, site: number, to: number, from: number): number {
  const { fillBy } = state.model.sites[site]
  let day = latest(fillBy, to, from)
  while (day >= 0 && !mayTransfer(state, site, day)) day = latest(fillBy, day - 1, from)
  return day
}

/** May a site make so many brews more on a day (V1)? */
export function mayBrew(state: State, site: number, day: number, brews: number): boolean {
  const { model, constraints, brewsUsed } = state
  for (const allows of constraints.mayBrew)
    if (!allows(model.sites[site], day, brewsUsed[site][day], brews)) return false
  return true
}

/** May one more transfer start at a site on a day (T2, V11)? */
export function mayTransferOn(state: State, site: number, day: number): boolean {
  return state.model.sites[site].fillOn[day] === 1 && mayTransfer(state, site, day)
}

function mayTransfer(state: State, site: number, day: number): boolean {
  const { model, constraints, transfersUsed } = state
  for (const allows of constraints.mayTransfer)
    if (!allows(model.sites[site], day, transfersUsed[site][day])) return false
  return true
}

/**
 * Finds the days of the horizon on which a batch may be drawn for a pack, into `days`: by V4, V5, V7, V8, V10 and the
 * vessel's other stays (V3), after a transfer if one is given. A brew that is not in the plan yet is judged as if a draw
 * brought it there.
 */
export function findDrawDays(
  state: State,
  batch: Batch,
  pack: number,
  transfer: Transfer | undefined,
  days: Days,
): void {
  const { model, constraints } = state
  const beerModel = model.beers[batch.beer]
  const packModel = model.packs[pack]
  days.from = 0
  days.to = model.horizon - 1
  for (const narrow of constraints.drawDays) {
    narrow(state, batch, beerModel, packModel, transfer, days)
    if (days.to < days.from) return
  }
  endBy(days, standsTo(state, batch, packModel.bright, transfer))
}

/** Is a draw from the batch allowed on that day, as `findDrawDays` says? */
export function mayDraw(
  state: State,
  batch: Batch,
  pack: number,
  day: number,
  transfer: Transfer | undefined,
): boolean {
  const { days } = state.scratch
  findDrawDays(state, batch, pack, transfer, days)
  return day >= days.from && day <= days.to
}

/** Last day to which a batch can stand where a pack is drawn from, beside the other stays there (V3); -1 where on none. */
function standsTo(state: State, batch: Batch, bright: boolean, transfer: Transfer | undefined): number {
  const { model, stays } = state
  if (transfer && bright) {
    const to = fitsTo(model, stays[transfer.bright], transfer.bright, transfer.on)
    // T4: a bright vessel cannot be emptied on the day on which it is filled.
    return to > transfer.on ? to : -1
  }
  // Once it is moved on, the transfer ends its time in the fermenter (V4).
  if (!bright && batch.transferOn >= 0) return Number.POSITIVE_INFINITY
  const stay = bright ? batch.brightStay : batch.fermenterStay
  if (stay) return lastsTo(model, stays[stay.vessel], stay)
  return bright ? -1 : fitsTo(model, stays[batch.fermenter], batch.fermenter, batch.brewOn)
}

/** Narrows days to those on which a batch may be moved (V4, V5, V8); working days and V11 are judged day by day. */
export function narrowTransferDays(state: State, batch: Batch, days: Days): void {
  for (const narrow of state.constraints.transferDays) narrow(state, batch, days)
}

/** Can the batch stand in its fermenter to that day, beside the other stays there (V3)? */
export function fermenterLasts(state: State, batch: Batch, to: number): boolean {
  const { model } = state
  const stays = state.stays[batch.fermenter]
  const stay = batch.fermenterStay
  return stay ? canLast(model, stays, stay, to) : fits(model, stays, batch.fermenter, batch.brewOn, to)
}

/** Can the batch be moved so in the plan as it stands (T2, V3, V4, V5, V8, V11)? */
export function transferable(state: State, batch: Batch, transfer: Transfer | undefined): boolean {
  if (!transfer) return false
  const bright = state.model.vessels[transfer.bright]
  if (!bright.bright || bright.site !== batch.site || !mayTransferOn(state, batch.site, transfer.on)) return false
  const { days } = state.scratch
  days.from = 0
  days.to = state.model.horizon - 1
  narrowTransferDays(state, batch, days)
  return transfer.on >= days.from && transfer.on <= days.to && fermenterLasts(state, batch, transfer.on)
}
