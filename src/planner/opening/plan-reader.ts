// A plan's decisions, found again in the search's state: which batch, transfer and run each is, and whether it still
// can be as in the plan.
import { dayNumber } from '../calendar/days.ts'
import type { Plan } from '../documents/problem.ts'
import { mayBrew, mayDraw, transferable } from '../insertion/days.ts'
import { drawRoom, isSetUp } from '../insertion/draw-sources.ts'
import { mostUnits } from '../insertion/draws.ts'
import { type Batch, type RunTake, runKey, type Transfer } from '../model/batch.ts'
import { makeBrew } from '../model/make-batch.ts'
import type { State } from '../model/state.ts'
import { cleanToSpare, roomToStand } from '../model/stores-fleets.ts'
import { fits } from '../model/vessels.ts'
import { currentBrews } from './standing.ts'

/** Reads one plan against one state. */
export class PlanReader {
  readonly batches = new Map<string, Batch>()
  readonly transfers = new Map<string, Transfer>()
  readonly runs: Map<string, Plan['fillRuns'][number]>
  readonly state: State

  constructor(state: State, plan: Plan) {
    const { model } = state
    this.state = state
    for (const list of state.batches) {
      for (const batch of list) {
        const { id } = state.identity(batch)
        if (id !== undefined) this.batches.set(id, batch)
      }
    }
    for (const brew of currentBrews(model, plan)) {
      const beer = model.indexOf.beer.get(brew.beerId)
      const vessel = model.indexOf.vessel.get(brew.vesselId)
      if (beer === undefined || vessel === undefined || this.batches.has(brew.id)) continue
      this.batches.set(brew.id, makeBrew(state, beer, vessel, dayNumber(brew.brewOn) - model.today))
    }
    for (const each of plan.transfers) {
      const bright = model.indexOf.vessel.get(each.toVesselId)
      const on = dayNumber(each.on) - model.today
      if (bright !== undefined && on >= 0) this.transfers.set(each.batchId, { on, bright })
    }
    this.runs = new Map(plan.fillRuns.map((run) => [run.id, run]))
  }

  /** Is the brew possible as in the baseline (V1–V3, T2)? A batch that stands or is planned already is. */
  brewable(batch: Batch): boolean {
    const { model } = this.state
    if (batch.active) return true
    const { brewOn, fermenter: vessel, beer, site } = batch
    if (
      brewOn < 0 ||
      brewOn >= model.horizon ||
      !model.sites[site].brewOn[brewOn] ||
      !model.beers[beer].allowed[vessel]
    )
      return false
    if (model.vessels[vessel].bright || !mayBrew(this.state, site, brewOn, 1)) return false
    return fits(model, this.state.stays[vessel], vessel, brewOn, brewOn)
  }

  /** A run of the plan as a take, with as many containers as can be had of it now; undefined where none can. */
  take(run: Plan['fillRuns'][number], quantity: number): RunTake | undefined {
    const { state } = this
    const { model } = state
    const batch = this.batches.get(run.batchId)
    const pack = model.indexOf.pack.get(run.packId)
    const filler = model.indexOf.filler.get(run.fillerId)
    const day = dayNumber(run.on) - model.today
    if (!batch || pack === undefined || filler === undefined || day < 0 || day >= model.horizon) return undefined
    if (batch.site !== model.fillers[filler].site || batch.beer !== model.packs[pack].beer || !this.brewable(batch))
      return undefined
    const packModel = model.packs[pack]
    const planned = this.transfers.get(run.batchId)
    const transfer = packModel.bright && batch.fermenter >= 0 && batch.transferOn < 0 ? planned : undefined
    const common = {
      batch,
      filler,
      day,
      pack,
      transferOn: packModel.bright ? (transfer?.on ?? batch.transferOn) : -1,
      bright: packModel.bright ? (transfer?.bright ?? batch.bright) : -1,
    }
    const stands = batch.runAt.get(runKey(model, filler, day, pack))
    if (stands && stands.surplus > 0) {
      const fromSurplus = Math.min(stands.surplus, quantity)
      if (stands.fixed || fromSurplus === quantity) return { ...common, quantity: fromSurplus, fromSurplus }
    }
    if (!model.sites[batch.site].fillOn[day]) return undefined
    if (packModel.bright && batch.fermenter >= 0 && batch.transferOn < 0 && !transferable(state, batch, transfer))
      return undefined
    if (!mayDraw(state, batch, pack, day, transfer)) return undefined
    const beer = mostUnits(state, batch, packModel.bright, transfer)
    const started = isSetUp(state, batch, filler, day, packModel.kind)
    const most = Math.min(quantity, drawRoom(state, batch, pack, filler, day, beer, started))
    return most > 0 ? { ...common, quantity: most, fromSurplus: 0 } : undefined
  }
}

/** Containers of a run to stock that fleet and store can bear. */
export function standable(state: State, take: RunTake): number {
  const { model } = state
  const pack = model.packs[take.pack]
  const clean = cleanToSpare(state, take.batch.site, pack.type, take.day, model.horizon)
  const room = roomToStand(
    state,
    take.batch.site,
    take.pack,
    take.day,
    Math.min(model.horizon, take.day + pack.shelf + 1),
  )
  return Math.min(clean, pack.nominal > 0 ? Math.floor(room / pack.nominal) : Number.MAX_SAFE_INTEGER)
}
