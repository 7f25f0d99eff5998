// State → Plan: names for what the search decided, beer that is dumped, and lines that are late or not served.
import { localDateOf } from '../calendar/days.ts'
import type { Plan } from '../documents/problem.ts'
import type { Reason } from '../documents/reason.ts'
import { type Batch, byBirth, type Delivery, lastServe, type Run, runKey } from '../model/batch.ts'
import type { LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'
import { LITRE, SLACK } from '../model/units.ts'
import type { Moved } from './fixed.ts'

/** Reasons of a line that is late or not wholly served. */
export type Explain = (line: LineModel) => Reason[]

/** What the plan says of one batch. */
export interface BatchPart {
  /** Of a brew, the id of the batch that it becomes. */
  id: string
  brew?: Plan['brews'][number]
  transfer?: Plan['transfers'][number]
  fillRuns: Plan['fillRuns']
  dumped: Plan['dumped']
}

/** What the plan says of a line that is late or not wholly served. */
export interface Verdicts {
  unserved?: Plan['unserved'][number]
  late?: NonNullable<Plan['late']>[number]
  brokenPromise?: NonNullable<Plan['brokenPromises']>[number]
}

/** Ids of decisions; asked again, each gives the same. */
export interface Naming {
  batch(batch: Batch): string
  transfer(batchId: string, batch: Batch): string
  run(batchId: string, filler: number, pack: number, day: number): string
}

/** The plan without its cost. Ids of baseline decisions that were kept stay what they were. */
export function exportPlan(state: State, moved: Moved[], explain: Explain): Omit<Plan, 'cost'> {
  const { model } = state
  const names = new Names(state)
  const fixedIds = fixedIdsOf(model.problem.baseline)
  const batches = state.batches.flat().sort(byBirth)
  const parts = batches.map((batch) => batchPart(state, batch, names, fixedIds))
  const verdicts = model.lines.map((line) => verdictsOf(state, line, explain))
  return {
    ...joinedParts(parts),
    deliveries: model.lines.flatMap((line) => deliveriesOf(state, line, names)),
    ...joinedVerdicts(verdicts),
    moved,
  }
}

/** Ids of the decisions that must stay (F1). */
export function fixedIdsOf(plan: Plan | undefined): Set<string> {
  const decisions = plan ? [...plan.brews, ...plan.transfers, ...plan.fillRuns] : []
  return new Set(decisions.filter((each) => each.fixed).map((each) => each.id))
}

/** The lists of a plan that its batches make. */
export function joinedParts(parts: readonly BatchPart[]): Pick<Plan, 'brews' | 'transfers' | 'fillRuns' | 'dumped'> {
  return {
    brews: parts.flatMap(({ brew }) => brew ?? []),
    transfers: parts.flatMap(({ transfer }) => transfer ?? []),
    fillRuns: parts.flatMap(({ fillRuns }) => fillRuns),
    dumped: parts.flatMap(({ dumped }) => dumped),
  }
}

/** The lists of a plan that verdicts make. */
export function joinedVerdicts(
  verdicts: readonly Verdicts[],
): Required<Pick<Plan, 'unserved' | 'late' | 'brokenPromises'>> {
  return {
    unserved: verdicts.flatMap(({ unserved }) => unserved ?? []),
    late: verdicts.flatMap(({ late }) => late ?? []),
    brokenPromises: verdicts.flatMap(({ brokenPromise }) => brokenPromise ?? []),
  }
}

/** What the plan says of an active batch. */
export function batchPart(state: State, batch: Batch, names: Naming, fixedIds: ReadonlySet<string>): BatchPart {
  const { model } = state
  const date = (day: number) => localDateOf(model.today + day)
  const flag = (id: string, held: boolean) => (held && fixedIds.has(id) ? { fixed: true } : {})
  const id = names.batch(batch)
  const part: BatchPart = { id, fillRuns: [], dumped: [] }
  if (batch.standing < 0) {
    part.brew = {
      id,
      beerId: model.beers[batch.beer].id,
      vesselId: model.vessels[batch.fermenter].id,
      brewOn: date(batch.brewOn),
      litres: batch.brewed / LITRE,
      ...flag(id, batch.fixed),
    }
  }
  if (batch.brightStay && batch.fermenter >= 0) {
    const transferId = names.transfer(id, batch)
    part.transfer = {
      id: transferId,
      batchId: id,
      toVesselId: model.vessels[batch.bright].id,
      on: date(batch.transferOn),
      litres: (batch.drawable - batch.fromFermenter - batch.leftAtTransfer) / LITRE,
      ...flag(transferId, batch.transferFixed),
    }
    if (batch.leftAtTransfer > SLACK)
      part.dumped.push({ batchId: id, on: date(batch.transferOn), litres: batch.leftAtTransfer / LITRE })
  }
  const stay = batch.brightStay ?? batch.fermenterStay
  if (!batch.kept && batch.left > SLACK && stay)
    part.dumped.push({ batchId: id, on: date(stay.end), litres: batch.left / LITRE })
  for (const run of [...batch.runs].sort(byDay)) {
    const runId = names.run(id, run.filler, run.pack, run.day)
    part.fillRuns.push({
      id: runId,
      batchId: id,
      fillerId: model.fillers[run.filler].id,
      on: date(run.day),
      packId: model.packs[run.pack].id,
      quantity: run.alloc + run.surplus,
      ...flag(runId, run.fixed),
    })
  }
  return part
}

/** Order of a batch's runs that does not depend on how they came about. */
export function byDay(a: Run, b: Run): number {
  return a.day - b.day || a.filler - b.filler || a.pack - b.pack
}

/** The deliveries of a line. */
export function deliveriesOf(state: State, line: LineModel, names: Naming): Plan['deliveries'] {
  const { routes, today } = state.model
  return (state.placements[line.index]?.deliveries ?? []).map((delivery) => ({
    orderLineId: line.id,
    routeId: routes[delivery.route].id,
    dispatchOn: localDateOf(today + delivery.dispatch),
    serveOn: localDateOf(today + delivery.serve),
    from: sources(state, delivery, names),
  }))
}

function sources(state: State, delivery: Delivery, names: Naming): Plan['deliveries'][number]['from'] {
  const { model } = state
  return [
    ...delivery.lots.map((take) => ({ stockLotId: model.lots[take.lot].id, quantity: take.quantity })),
    ...delivery.runs.map(({ batch, filler, pack, day, quantity }) => {
      if (!batch.runAt.has(runKey(model, filler, day, pack)))
        throw new Error('a delivery takes from a run that the plan does not have')
      return { fillRunId: names.run(names.batch(batch), filler, pack, day), quantity }
    }),
  ]
}

/** What is to be said of a line; nothing where it is wholly served on time. */
export function verdictsOf(state: State, line: LineModel, explain: Explain): Verdicts {
  const { model } = state
  const placement = state.placements[line.index]
  const delivered = placement?.delivered ?? 0
  const last = lastServe(placement)
  const short = delivered < line.quantity
  const late = delivered > 0 && last > line.dueOn
  if (!short && !late) return {}
  const reasons = explain(line)
  const orderLineId = line.id
  return {
    ...(short ? { unserved: { orderLineId, quantity: line.quantity - delivered, reasons } } : {}),
    ...(late ? { late: { orderLineId, reasons } } : {}),
    ...(line.promised
      ? {
          brokenPromise: {
            orderLineId,
            promisedOn: localDateOf(model.today + line.dueOn),
            now: short ? null : localDateOf(model.today + last),
            reasons,
          },
        }
      : {}),
  }
}

/** Names of decisions: the baseline's where a decision is the same, else the next free number. */
class Names implements Naming {
  private readonly state: State
  private readonly used = new Set<string>()
  private readonly next = { brew: 1, transfer: 1, run: 1 }
  private readonly batchIds = new Map<Batch, string>()
  private readonly given = new Map<string, string>()

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
    const { brewIds, runs, transfers } = state.baseline
    for (const id of [...brewIds, ...runs.values(), ...transfers.values()]) this.used.add(id)
  }

  batch(batch: Batch): string {
    const known = this.batchIds.get(batch)
    if (known !== undefined) return known
    const id = this.state.identity(batch).id ?? this.fresh('brew')
    this.batchIds.set(batch, id)
    return id
  }

  transfer(batchId: string, batch: Batch): string {
    const key = `${batchId}|${batch.bright}|${batch.transferOn}`
    return this.state.baseline.transfers.get(key) ?? this.named('transfer', key)
  }

  run(batchId: string, filler: number, pack: number, day: number): string {
    const key = `${batchId}|${filler}|${pack}|${day}`
    return this.state.baseline.runs.get(key) ?? this.named('run', key)
  }

  private named(kind: 'transfer' | 'run', key: string): string {
    const known = this.given.get(`${kind} ${key}`)
    if (known !== undefined) return known
    const id = this.fresh(kind)
    this.given.set(`${kind} ${key}`, id)
    return id
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
