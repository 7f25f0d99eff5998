// The plan as it stands during a search: every resource day by day, every batch, every placement, and the ledger of
// cost terms in whole units. All changes go through placements and their exact inverses, so undo leaves no trace.

import type { BaselineKeys } from './baseline-keys.ts'
import {
  type Batch,
  type Delivery,
  type Occupant,
  type Placement,
  type Run,
  runKey,
  type Surplus,
  setupKey,
  surplusLeaves,
} from './batch.ts'
import { type BindingConstraints, bindingConstraints, type SearchConstraint } from './constraint.ts'
import { fleetIndex, type LineModel, type LotModel, type Model, TERM } from './model.ts'
import { type Books, refresh } from './refresh.ts'
import { Scratch } from './scratch.ts'
import { type Washing, washingOf } from './washing.ts'

export class State implements Books {
  readonly model: Model
  constraints: BindingConstraints
  readonly ledger = new Float64Array(11)
  readonly minutesUsed: Float64Array[]
  readonly washing: (Washing | undefined)[]
  readonly clean: (Float64Array | undefined)[]
  readonly storePlan: Float64Array[]
  readonly storeStock: Float64Array[]
  readonly routeUsed: Float64Array[]
  readonly drops: Uint16Array
  readonly brewsUsed: Int32Array[]
  readonly transfersUsed: Int32Array[]
  readonly stays: Occupant[][]
  /** Active batches by beer × site. */
  readonly batches: Batch[][]
  lotLeft: Int32Array
  readonly placements: (Placement | undefined)[]
  readonly surpluses = new Set<Surplus>()
  /** Batches whose draws or leftovers changed since the search last looked. */
  readonly touched = new Set<Batch>()
  readonly baseline: BaselineKeys
  readonly claimed = new Set<number>()
  readonly scratch: Scratch
  serial = 0

  constructor(model: Model, baseline: BaselineKeys, constraints: readonly SearchConstraint[]) {
    const { horizon } = model
    const days = () => new Float64Array(horizon)
    this.model = model
    this.baseline = baseline
    this.scratch = new Scratch(horizon)
    this.constraints = bindingConstraints(model, constraints)
    this.minutesUsed = model.fillers.map(days)
    this.washing = washingOf(model)
    this.clean = model.fleets.map((fleet) => fleet && Float64Array.from(fleet.clean))
    this.storePlan = Array.from(model.stores, days)
    this.storeStock = Array.from(model.stores, days)
    this.routeUsed = model.routes.map(days)
    this.drops = new Uint16Array(model.accounts.length * horizon)
    this.brewsUsed = model.sites.map(() => new Int32Array(horizon))
    this.transfersUsed = model.sites.map(() => new Int32Array(horizon))
    this.stays = model.vessels.map(() => [])
    this.batches = Array.from({ length: model.beers.length * model.sites.length }, () => [])
    this.lotLeft = Int32Array.from(model.lots, (lot) => lot.quantity)
    this.placements = model.lines.map(() => undefined)
    for (const lot of model.lots) this.countLot(lot, 1)
    for (const line of model.lines) this.countUnserved(line, line.quantity)
    this.ledger[TERM.churn] = baseline.brewIds.length + baseline.runs.size + baseline.transfers.size
  }

  /** Cost of the plan as it stands. */
  get cost(): number {
    let sum = 0
    for (let term = 0; term < 11; term++) sum += this.ledger[term] * this.model.rates[term]
    return sum
  }

  /** Makes room for a line that was added to the model (trial placement). */
  lineAdded(line: LineModel): void {
    this.placements.push(undefined)
    this.countUnserved(line, line.quantity)
  }

  /** Forgets the last line that was added; it must not be placed. */
  lineRemoved(line: LineModel): void {
    this.placements.pop()
    this.countUnserved(line, -line.quantity)
  }

  /** Counts a lot of which no line takes anything, or takes that back. */
  countLot({ site, pack, quantity, readyOn, leaves }: LotModel, sign: 1 | -1): void {
    const { packs, horizon } = this.model
    const units = sign * quantity * packs[pack].nominal
    this.ledger[leaves < horizon ? TERM.dumped : TERM.unsold] += units
    this.inStore(this.storeStock, site, pack, 0, readyOn, leaves, units)
  }

  /** Puts a placement into the plan. Whether it may is the caller's business. */
  apply(placement: Placement): void {
    this.placements[placement.line.index] = placement
    this.change(placement, 1)
  }

  /** Takes a placement out of the plan: the exact inverse of `apply`. */
  remove(placement: Placement): void {
    this.placements[placement.line.index] = undefined
    this.change(placement, -1)
  }

  /** Fills containers to stock, or takes that back. */
  applySurplus(surplus: Surplus, sign: 1 | -1): void {
    if (sign > 0) this.surpluses.add(surplus)
    else this.surpluses.delete(surplus)
    const { batch, transferOn, bright } = surplus
    this.bindTransfer(batch, transferOn, bright)
    if (surplus.quantity > 0) this.changeRun(surplus, 0, sign * surplus.quantity)
    else batch.transferHolds += sign
    refresh(this, batch)
  }

  private change(placement: Placement, sign: 1 | -1): void {
    const { line } = placement
    this.countUnserved(line, -sign * placement.delivered)
    for (const delivery of placement.deliveries) {
      this.changeDelivery(line, delivery, sign)
      for (const { batch } of delivery.runs) {
        if (sign > 0) batch.users.add(placement)
        else batch.users.delete(placement)
      }
    }
  }

  private changeDelivery(line: LineModel, delivery: Delivery, sign: 1 | -1): void {
    const { model, ledger } = this
    const pack = model.packs[line.pack]
    const route = model.routes[delivery.route]
    const onward = route.transit + line.settle
    let quantity = 0
    for (const take of delivery.lots) {
      const lot = model.lots[take.lot]
      const units = take.quantity * pack.nominal
      quantity += take.quantity
      this.lotLeft[take.lot] -= sign * take.quantity
      this.inStore(this.storeStock, lot.site, lot.pack, delivery.dispatch, lot.readyOn, lot.leaves, -sign * units)
      ledger[lot.leaves < model.horizon ? TERM.dumped : TERM.unsold] -= sign * units
      if (lot.leaves < model.horizon) this.addClean(lot.site, pack.type, lot.leaves, -sign * take.quantity)
      ledger[TERM.standing] += sign * units * (delivery.serve - Math.max(lot.readyOn, 0) - onward)
    }
    for (const take of delivery.runs) {
      const units = take.quantity * pack.nominal
      quantity += take.quantity
      this.bindTransfer(take.batch, take.transferOn, take.bright)
      this.changeRun(take, sign * take.quantity, (-sign * take.fromSurplus) | 0) // never minus zero
      this.inStore(
        this.storePlan,
        route.site,
        line.pack,
        take.day,
        take.day + pack.conditioning,
        delivery.dispatch,
        sign * units,
      )
      ledger[TERM.standing] += sign * units * (delivery.serve - Math.max(take.day + pack.conditioning, 0) - onward)
    }
    for (const [at, take] of delivery.runs.entries()) {
      // Takes of one batch mostly lie side by side: bring it up to date once.
      if (delivery.runs[at + 1]?.batch !== take.batch) refresh(this, take.batch)
    }
    const units = quantity * pack.nominal
    this.routeUsed[delivery.route][delivery.dispatch] += sign * units
    const late = delivery.serve - line.dueOn
    if (late > 0) ledger[line.promised ? TERM.latePromised : TERM.late] += sign * units * late * line.weight
    const drop = line.account * model.horizon + delivery.dispatch
    if (sign > 0 && this.drops[drop]++ === 0) ledger[TERM.drop] += 1
    if (sign < 0 && --this.drops[drop] === 0) ledger[TERM.drop] -= 1
    const { returnDays } = model.accounts[line.account]
    if (returnDays >= 0) this.addClean(route.site, pack.type, delivery.serve + returnDays, sign * quantity)
  }

  /** Grows or shrinks a run; creates it with its set-up at the first container, deletes it after the last. */
  private changeRun(
    at: { batch: Batch; filler: number; day: number; pack: number },
    alloc: number,
    surplus: number,
  ): void {
    const { model } = this
    const { batch } = at
    const pack = model.packs[at.pack]
    const key = runKey(model, at.filler, at.day, at.pack)
    let run = batch.runAt.get(key)
    if (!run) {
      run = { filler: at.filler, day: at.day, pack: at.pack, alloc: 0, surplus: 0, fixed: false }
      batch.runs.push(run)
      batch.runAt.set(key, run)
      this.changeSetup(batch, run, 1)
    }
    run.alloc += alloc
    run.surplus += surplus
    const growth = alloc + surplus
    const { site } = batch
    if (growth !== 0) {
      this.minutesUsed[at.filler][at.day] += growth * model.fillers[at.filler].each[pack.type]
      const clean = this.clean[fleetIndex(model, site, pack.type)]
      if (clean) for (let day = at.day; day < model.horizon; day++) clean[day] -= growth
    }
    if (surplus !== 0) {
      const units = surplus * pack.nominal
      const leaves = surplusLeaves(model, at.day + pack.shelf)
      this.inStore(this.storePlan, site, at.pack, at.day, at.day + pack.conditioning, leaves, units)
      this.ledger[leaves < model.horizon ? TERM.dumped : TERM.unsold] += units
      if (leaves < model.horizon) this.addClean(site, pack.type, leaves, surplus)
    }
    if (run.alloc === 0 && run.surplus === 0) {
      batch.runs.splice(batch.runs.lastIndexOf(run), 1)
      batch.runAt.delete(key)
      this.changeSetup(batch, run, -1)
    }
  }

  private changeSetup(batch: Batch, run: Run, sign: 1 | -1): void {
    const { model, ledger } = this
    const { kind, bright } = model.packs[run.pack]
    const filler = model.fillers[run.filler]
    const key = setupKey(model, run.filler, run.day, kind)
    let setup = batch.setupAt.get(key)
    if (!setup) {
      setup = { filler: run.filler, day: run.day, kind, fromFermenter: 0, fromBright: 0 }
      batch.setups.push(setup)
      batch.setupAt.set(key, setup)
    }
    const before = setup.fromFermenter + setup.fromBright
    if (bright) setup.fromBright += sign
    else setup.fromFermenter += sign
    const started = before === 0 ? 1 : before + sign === 0 ? -1 : 0
    if (started !== 0) {
      this.minutesUsed[run.filler][run.day] += started * filler.setupMinutes[batch.beer]
      for (const count of this.constraints.onSetup) count(this, batch, run.filler, run.day, sign)
      ledger[TERM.setup] += started * model.beers[batch.beer].setupWeight
      ledger[TERM.dumped] += started * filler.setupLoss
      if (started < 0) {
        batch.setups.splice(batch.setups.lastIndexOf(setup), 1)
        batch.setupAt.delete(key)
      }
    }
    const { id } = this.identity(batch)
    if (id !== undefined && this.baseline.runs.has(`${id}|${run.filler}|${run.pack}|${run.day}`))
      ledger[TERM.churn] -= sign
  }

  /** Work before the first container of a set-up that a filler does not have yet on a day: the set-up (L1), and more (L4). */
  setupWork(beer: number, filler: number, day: number): number {
    let work = this.model.fillers[filler].setupMinutes[beer]
    for (const extra of this.constraints.extraMinutes) work += extra(this, beer, filler, day)
    return work
  }

  /** The id that a batch carries from outside: of a standing batch, or of the baseline brew it continues. */
  identity(batch: Batch): { id: string | undefined } {
    if (batch.standing >= 0) return { id: this.model.problem.batches[batch.standing].id }
    return { id: batch.baseline >= 0 ? this.baseline.brewIds[batch.baseline] : undefined }
  }

  private bindTransfer(batch: Batch, transferOn: number, bright: number): void {
    if (bright < 0 || batch.fermenter < 0 || batch.transferOn >= 0) return
    batch.transferOn = transferOn
    batch.bright = bright
  }

  /** Containers that are clean again `washDays` after the day they came back (C1); by today means never counted. */
  private addClean(site: number, type: number, day: number, quantity: number): void {
    const { model } = this
    const index = fleetIndex(model, site, type)
    const clean = this.clean[index]
    if (!clean) return
    const from = day + (model.fleets[index]?.washDays ?? 0)
    if (from >= 1) for (let d = from; d < model.horizon; d++) clean[d] += quantity
  }

  /** Adds litres standing in a store (S1): in the pack's climate until `fitOn`, then cold, before `leaves`. */
  private inStore(
    store: Float64Array[],
    site: number,
    pack: number,
    from: number,
    fitOn: number,
    leaves: number,
    units: number,
  ): void {
    const warm = this.model.packs[pack].warm ? 1 : 0
    const to = Math.min(leaves, this.model.horizon)
    for (let day = Math.max(from, 0); day < to; day++) store[site * 2 + (day < fitOn ? warm : 0)][day] += units
  }

  private countUnserved(line: LineModel, quantity: number): void {
    const term = line.promised ? TERM.unservedPromised : TERM.unserved
    this.ledger[term] += quantity * this.model.packs[line.pack].nominal * line.weight
  }
}
