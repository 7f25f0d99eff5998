// State → Plan: names for what the search decided, beer that is dumped, and who is not or late served.
import { localDateOf } from '../days.ts'
import type { Plan, Reason } from '../problem.ts'
import type { Batch } from './batch.ts'
import type { Moved } from './fixed.ts'
import type { LineModel } from './model.ts'
import { type Delivery, lastServe, type State } from './state.ts'
import { LITRE, SLACK } from './units.ts'

/** Reasons of a line that is late or not wholly served. */
export type Explain = (line: LineModel) => Reason[]

/** The plan without its cost. Ids of baseline decisions that were kept stay what they were. */
export function exportPlan(state: State, moved: Moved[], explain: Explain): Omit<Plan, 'cost'> {
  const { model } = state
  const { baseline } = model.problem
  const date = (day: number) => localDateOf(model.today + day)
  const names = new Names(state)
  const fixedIds = new Set(
    [...(baseline?.brews ?? []), ...(baseline?.transfers ?? []), ...(baseline?.fillRuns ?? [])]
      .filter((each) => each.fixed)
      .map((each) => each.id),
  )
  const flag = (id: string, held: boolean) => (held && fixedIds.has(id) ? { fixed: true } : {})
  const plan: Omit<Plan, 'cost'> = {
    brews: [],
    transfers: [],
    fillRuns: [],
    deliveries: [],
    dumped: [],
    unserved: [],
    late: [],
    brokenPromises: [],
    moved: [],
  }
  const runIds = new Map<Batch, Map<string, string>>()
  const batches = state.batches
    .flat()
    .sort((a, b) => a.standing - b.standing || a.brewOn - b.brewOn || a.fermenter - b.fermenter)
  for (const batch of batches) {
    const batchId = names.batch(batch)
    if (batch.standing < 0) {
      plan.brews.push({
        id: batchId,
        beerId: model.beers[batch.beer].id,
        vesselId: model.vessels[batch.fermenter].id,
        brewOn: date(batch.brewOn),
        litres: batch.brewed / LITRE,
        ...flag(batchId, batch.fixed),
      })
    }
    if (batch.brightStay && batch.fermenter >= 0) {
      const id = names.transfer(batchId, batch)
      const litres = (batch.drawable - batch.fromFermenter - batch.leftAtTransfer) / LITRE
      plan.transfers.push({
        id,
        batchId,
        toVesselId: model.vessels[batch.bright].id,
        on: date(batch.transferOn),
        litres,
        ...flag(id, batch.transferFixed),
      })
      if (batch.leftAtTransfer > SLACK)
        plan.dumped.push({ batchId, on: date(batch.transferOn), litres: batch.leftAtTransfer / LITRE })
    }
    const stay = batch.brightStay ?? batch.fermenterStay
    if (!batch.kept && batch.left > SLACK && stay)
      plan.dumped.push({ batchId, on: date(stay.end), litres: batch.left / LITRE })
    const ids = new Map<string, string>()
    runIds.set(batch, ids)
    for (const run of [...batch.runs].sort((a, b) => a.day - b.day || a.filler - b.filler || a.pack - b.pack)) {
      const id = names.run(batchId, run.filler, run.pack, run.day)
      ids.set(`${run.filler}|${run.pack}|${run.day}`, id)
      plan.fillRuns.push({
        id,
        batchId,
        fillerId: model.fillers[run.filler].id,
        on: date(run.day),
        packId: model.packs[run.pack].id,
        quantity: run.alloc + run.surplus,
        ...flag(id, run.fixed),
      })
    }
  }
  for (const line of model.lines) {
    const placement = state.placements[line.index]
    for (const delivery of placement?.deliveries ?? []) {
      plan.deliveries.push({
        orderLineId: line.id,
        routeId: model.routes[delivery.route].id,
        dispatchOn: date(delivery.dispatch),
        serveOn: date(delivery.serve),
        from: sources(state, delivery, runIds),
      })
    }
    addVerdicts(state, plan, line, explain)
  }
  for (const each of moved) {
    plan.moved?.push({
      kind: each.kind,
      id: each.id,
      reasons: [
        { rule: each.rule, message: 'This decision was to stay as it is, but it cannot without breaking a rule.' },
      ],
    })
  }
  return plan
}

function sources(
  state: State,
  delivery: Delivery,
  runIds: Map<Batch, Map<string, string>>,
): Plan['deliveries'][number]['from'] {
  const { model } = state
  return [
    ...delivery.lots.map((take) => ({ stockLotId: model.lots[take.lot].id, quantity: take.quantity })),
    ...delivery.runs.map((take) => {
      const fillRunId = runIds.get(take.batch)?.get(`${take.filler}|${take.pack}|${take.day}`)
      if (fillRunId === undefined) throw new Error('a delivery takes from a run that the plan does not have')
      return { fillRunId, quantity: take.quantity }
    }),
  ]
}

function addVerdicts(state: State, plan: Omit<Plan, 'cost'>, line: LineModel, explain: Explain): void {
  const { model } = state
  const placement = state.placements[line.index]
  const delivered = placement?.delivered ?? 0
  const last = lastServe(placement)
  const short = delivered < line.quantity
  const late = delivered > 0 && last > line.dueOn
  if (!short && !late) return
  const reasons = explain(line)
  if (short) plan.unserved.push({ orderLineId: line.id, quantity: line.quantity - delivered, reasons })
  if (late) plan.late?.push({ orderLineId: line.id, reasons })
  if (line.promised) {
    plan.brokenPromises?.push({
      orderLineId: line.id,
      promisedOn: localDateOf(model.today + line.dueOn),
      now: short ? null : localDateOf(model.today + last),
      reasons,
    })
  }
}

/** Names of decisions: the baseline's where a decision is the same, else the next free number. */
class Names {
  private readonly state: State
  private readonly used = new Set<string>()
  private readonly next = { brew: 1, transfer: 1, run: 1 }
  private readonly batchIds = new Map<Batch, string>()

  constructor(state: State) {
    this.state = state
    const { problem } = state.model
    for (const batch of problem.batches) this.used.add(batch.id)
    for (const each of [
      ...(problem.baseline?.brews ?? []),
      ...(problem.baseline?.transfers ?? []),
      ...(problem.baseline?.fillRuns ?? []),
    ]) {
      this.used.add(each.id)
    }
  }

  batch(batch: Batch): string {
    const known = this.batchIds.get(batch)
    if (known !== undefined) return known
    const id = this.state.identity(batch).id ?? this.fresh('brew')
    this.batchIds.set(batch, id)
    return id
  }

  transfer(batchId: string, batch: Batch): string {
    return this.state.baseline.transfers.get(`${batchId}|${batch.bright}|${batch.transferOn}`) ?? this.fresh('transfer')
  }

  run(batchId: string, filler: number, pack: number, day: number): string {
    return this.state.baseline.runs.get(`${batchId}|${filler}|${pack}|${day}`) ?? this.fresh('run')
  }

  private fresh(kind: 'brew' | 'transfer' | 'run'): string {
    for (;;) {
      const id = `${kind}-${this.next[kind]++}`
      if (!this.used.has(id)) {
        this.used.add(id)
        return id
      }
    }
  }
}
