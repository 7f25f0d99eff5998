// Brings a plan's placements into the state, each as far as it still holds; what broke is left out, and why is noted.
import { dayNumber } from '../calendar/days.ts'
import type { Plan } from '../documents/problem.ts'
import type { Reason } from '../documents/reason.ts'
import { transferable } from '../insertion/days.ts'
import { keepBeer } from '../insertion/keep-beer.ts'
import type { Batch, Delivery, Placement, RunTake, Surplus, Transfer } from '../model/batch.ts'
import { fleetIndex, type LineModel } from '../model/model.ts'
import { OPTION_SIZE, soldUntil } from '../model/options.ts'
import type { State } from '../model/state.ts'
import { cleanAgain, cleanToSpare, roomToStand, routeRoom } from '../model/stores-fleets.ts'
import type { UndoLog } from '../model/undo-log.ts'
import { SLACK, units } from '../model/units.ts'
import { PlanReader, standable } from './plan-reader.ts'
import { currentBrews } from './standing.ts'
import { WhyNot } from './why-not.ts'

/** Decisions that did not hold when a plan was loaded, each with the first rule in its way. */
export class DroppedDecisions {
  private readonly reasons = new Map<string, Reason>()

  note(kind: 'BREW' | 'TRANSFER' | 'FILL_RUN', id: string, reason: Reason): void {
    this.reasons.set(`${kind} ${id}`, reason)
  }

  why(kind: 'BREW' | 'TRANSFER' | 'FILL_RUN', id: string): Reason | undefined {
    return this.reasons.get(`${kind} ${id}`)
  }
}

/** What a plan is loaded with. */
interface Loading {
  state: State
  log: UndoLog
  reader: PlanReader
  whyNot: WhyNot
  dropped: DroppedDecisions
  /** Containers of each run that no line has taken. */
  left: Map<string, number>
}

/**
 * Places the lines of a plan as the plan does, each if that still holds (drop what broke); then its stock runs. What was to be
 * filled for lines that do not hold becomes stock; where it is `forgone`, it is filled no more.
 */
export function loadPlan(log: UndoLog, plan: Plan, { forgone = false } = {}): DroppedDecisions {
  const { state } = log
  const { model } = state
  const reader = new PlanReader(state, plan)
  const left = new Map(plan.fillRuns.map((run) => [run.id, run.quantity]))
  const whyNot = new WhyNot(state, reader)
  const loading: Loading = { state, log, reader, whyNot, dropped: new DroppedDecisions(), left }
  const byLine = new Map<string, Plan['deliveries']>()
  for (const delivery of plan.deliveries) {
    const list = byLine.get(delivery.orderLineId)
    if (list) list.push(delivery)
    else byLine.set(delivery.orderLineId, [delivery])
  }
  // A line may need the room or the containers that a later one frees: what does not hold yet is tried again.
  let waiting = [...byLine]
  for (let before = waiting.length + 1; waiting.length > 0 && waiting.length < before; ) {
    before = waiting.length
    waiting = waiting.filter(([lineId, deliveries]) => {
      const index = model.indexOf.line.get(lineId)
      if (index === undefined || state.placements[index]) return false
      return !loadLine(loading, index, deliveries)
    })
  }
  const lost = forgone ? waiting.flatMap(([, deliveries]) => deliveries.flatMap(({ from }) => from)) : []
  for (const { fillRunId = '', quantity } of lost) left.set(fillRunId, (left.get(fillRunId) ?? 0) - quantity)
  for (const [id, quantity] of left) {
    const run = reader.runs.get(id)
    if (!run || quantity <= 0) continue
    const take = reader.take(run, quantity)
    if (!take || take.fromSurplus > 0 || take.day < model.frozenUntil) continue
    const most = Math.min(take.quantity, standable(state, take))
    if (most > 0) log.stock(surplusOf(take, most))
  }
  const transfers = new Map<Batch, Transfer>()
  for (const [batchId, transfer] of reader.transfers) {
    const batch = reader.batches.get(batchId)
    if (batch) transfers.set(batch, transfer)
  }
  keepBeer(log, transfers)
  noteBrews(loading, plan)
  return loading.dropped
}

/** Brews and transfers that can no longer be as they were, whatever draws from them. */
function noteBrews({ state, reader, whyNot, dropped }: Loading, plan: Plan): void {
  for (const brew of currentBrews(state.model, plan)) {
    const batch = reader.batches.get(brew.id)
    if (!batch || !reader.brewable(batch)) dropped.note('BREW', brew.id, whyNot.brew(brew, batch, units(brew.litres)))
  }
  for (const each of plan.transfers) {
    const batch = reader.batches.get(each.batchId)
    const transfer = reader.transfers.get(each.batchId)
    if (batch && transfer && batch.transferOn === transfer.on && batch.bright === transfer.bright) continue
    if (!transfer || (batch?.active && transferable(state, batch, transfer))) continue
    dropped.note('TRANSFER', each.id, whyNot.transfer(each))
  }
}

function surplusOf(take: RunTake, quantity: number): Surplus {
  const { batch, filler, day, pack, transferOn, bright } = take
  return { batch, filler, day, pack, quantity, transferOn, bright }
}

/** A line as the plan serves it, if every part still holds; else nothing of it, and false. */
function loadLine(loading: Loading, index: number, deliveries: Plan['deliveries']): boolean {
  const { state, log, left } = loading
  const { mark } = log
  const line = state.model.lines[index]
  const parts: Placement[] = []
  const used: [runId: string, quantity: number][] = []
  const whole = deliveries.every((delivery) => {
    const at = optionOf(state, line, delivery)
    return at >= 0 && delivery.from.every((from) => loadPart(loading, line, at, from, parts, used))
  })
  const [only] = parts
  const isOne = only !== undefined && parts.length === 1
  const placement = isOne ? only : { line, deliveries: joined(parts), delivered: sum(parts) }
  const allowed = line.splittable ? placement.deliveries.length <= 2 : placement.deliveries.length === 1
  const enough = line.splittable ? placement.delivered <= line.quantity : placement.delivered === line.quantity
  const fits = whole && allowed && enough
  // What one source gives is in its place already.
  if (!fits || !isOne) log.undoTo(mark)
  if (!fits) return false
  if (!isOne) log.place(placement)
  for (const [id, quantity] of used) left.set(id, (left.get(id) ?? 0) - quantity)
  return true
}

/** What a delivery takes from one lot or run, put into the state if that holds (B3, B4, C1, S1, D1). */
function loadPart(
  { state, log, reader, whyNot, dropped }: Loading,
  line: LineModel,
  at: number,
  from: Plan['deliveries'][number]['from'][number],
  parts: Placement[],
  used: [runId: string, quantity: number][],
): boolean {
  const { model } = state
  const pack = model.packs[line.pack]
  const [route, dispatch, serve] = [line.options[at], line.options[at + 1], line.options[at + 2]]
  const { site } = model.routes[route]
  const sellBy = soldUntil(model, line, serve)
  const part: Delivery = { route, dispatch, serve, runs: [], lots: [] }
  let room = routeRoom(state, route, dispatch)
  let most = Number.POSITIVE_INFINITY
  if (from.stockLotId !== undefined) {
    const index = model.indexOf.lot.get(from.stockLotId)
    const lot = index === undefined ? undefined : model.lots[index]
    if (index === undefined || !lot || lot.site !== site || lot.pack !== line.pack) return false
    if (lot.readyOn > dispatch || lot.bestBefore < sellBy || lot.quarantined) return false
    most = state.lotLeft[index]
    part.lots.push({ lot: index, quantity: from.quantity })
  } else {
    const run = reader.runs.get(from.fillRunId ?? '')
    const take = run && run.packId === pack.id ? reader.take(run, from.quantity) : undefined
    if (run && (!take || take.quantity < from.quantity)) dropped.note('FILL_RUN', run.id, whyNot.run(run))
    if (!run || !take || take.batch.site !== site || take.quantity < from.quantity) return false
    if (take.fromSurplus === 0 && take.day < model.frozenUntil) return false
    if (take.day + pack.conditioning > dispatch || take.day + pack.shelf < sellBy) return false
    if (take.fromSurplus < take.quantity) {
      most = cleanToSpare(state, site, pack.type, take.day, cleanAgain(model, line, site, serve))
      const store = roomToStand(state, site, line.pack, take.day, dispatch)
      room = Math.min(room, store)
      if (from.quantity > most)
        dropped.note(
          'FILL_RUN',
          run.id,
          whyNot.overdrawn({ rule: 'C1', index: fleetIndex(model, site, pack.type), day: take.day }),
        )
      else if (from.quantity * pack.nominal > store + SLACK)
        dropped.note(
          'FILL_RUN',
          run.id,
          whyNot.overdrawn({ rule: 'S1', index: site * 2 + (pack.warm ? 1 : 0), day: take.day }),
        )
    }
    part.runs.push(take)
    used.push([run.id, from.quantity])
  }
  if (from.quantity > most || from.quantity * pack.nominal > room + SLACK) return false
  const placement = { line, deliveries: [part], delivered: from.quantity }
  log.place(placement)
  parts.push(placement)
  return true
}

/** Parts of one route and day, as one delivery. */
function joined(parts: Placement[]): Delivery[] {
  const result: Delivery[] = []
  for (const part of parts) {
    for (const delivery of part.deliveries) {
      const same = result.find((each) => each.route === delivery.route && each.dispatch === delivery.dispatch)
      if (same) {
        same.runs.push(...delivery.runs)
        same.lots.push(...delivery.lots)
      } else result.push({ ...delivery, runs: [...delivery.runs], lots: [...delivery.lots] })
    }
  }
  return result
}

function sum(parts: Placement[]): number {
  return parts.reduce((total, part) => total + part.delivered, 0)
}

/**
 * The line's option with the delivery's route and dispatch day, or -1. Its serve day is the earliest possible one, which
 * is never worse than the plan's.
 */
function optionOf(state: State, line: LineModel, delivery: Plan['deliveries'][number]): number {
  const { model } = state
  const route = model.indexOf.route.get(delivery.routeId)
  const dispatch = dayNumber(delivery.dispatchOn) - model.today
  const { options } = line
  for (let at = 0; at < options.length; at += OPTION_SIZE) {
    if (options[at] === route && options[at + 1] === dispatch) return at
  }
  return -1
}
