// What drawing so many containers from a batch would cost and how many could be drawn, without touching the plan.
import type { Batch, Occupant, Transfer } from '../model/batch.ts'
import { type Model, TERM } from '../model/model.ts'
import { deadline, size } from '../model/sizing.ts'
import type { State } from '../model/state.ts'
import { SLACK } from '../model/units.ts'
import { inService, keepingPays, mayKeep, successor } from '../model/vessels.ts'
import { mayBrew } from './days.ts'

/** Cost of a batch in the ledger as it stands: brews, beer dumped, beer left. */
export function batchCost(model: Model, batch: Batch): number {
  const { rates } = model
  return (
    batch.brews * rates[TERM.brew] + batch.dumpedUnits * rates[TERM.dumped] + batch.unsoldUnits * rates[TERM.unsold]
  )
}

/** Units that can still be drawn from a batch at a stage: of a brew, up to what its vessel and the brewhouse allow. */
export function mostUnits(state: State, batch: Batch, fromBright: boolean, transfer: Transfer | undefined): number {
  const { model } = state
  let drawable = batch.given
  if (batch.standing < 0) {
    let brewed = batch.given
    if (!batch.fixed) {
      const { volume } = state.scratch
      const site = model.sites[batch.site]
      const fermenter = model.vessels[batch.fermenter]
      const made = state.brewsUsed[batch.site][batch.brewOn]
      volume.most = Number.POSITIVE_INFINITY
      for (const lower of state.constraints.brewUnits) lower(batch, site, fermenter, made, volume)
      brewed = volume.most
    }
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
  const { economics } = state.scratch
  size(
    economics,
    model,
    batch,
    batch.fromFermenter + (fromBright ? 0 : units),
    batch.fromBright + (fromBright ? units : 0),
    bright,
  )
  if (!economics.feasible) return Number.POSITIVE_INFINITY
  const { brews, left, leftAtTransfer } = economics
  if (brews > batch.brews && !mayBrew(state, batch.site, batch.brewOn, brews - batch.brews))
    return Number.POSITIVE_INFINITY
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

/** May beer that enters a vessel on a day stand there to the end of the horizon, and is it worth it? */
export function mayStand(model: Model, batch: Batch, transferOn: number, vessel: number, stays: Occupant[]): boolean {
  const from = transferOn >= 0 ? transferOn : batch.brewOn
  if (!keepingPays(model) || deadline(model, batch, transferOn) < model.horizon) return false
  const last = stays.at(-1)
  return (!last || last.start < from) && inService(model, vessel, from, model.horizon - 1)
}

/** Cost of dumping what stands to the end in a vessel, where a new stay begins on a day. */
export function displacedCost(state: State, stays: Occupant[], from: number): number {
  const { rates } = state.model
  const last = stays.at(-1)
  if (!last || last.start >= from || !last.batch.kept) return 0
  return last.batch.left * (rates[TERM.dumped] - rates[TERM.unsold])
}
