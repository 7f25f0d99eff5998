// The order in which a filler works through lines. Placing lines one by one cannot exchange two that fill each other's
// days; here lines of one filler are put into another order as a whole, first on paper (work against the filler's
// free minutes), then in the plan.

import { mayDraw } from '../insertion/days.ts'
import { drawRoom, isSetUp } from '../insertion/draw-sources.ts'
import { mostUnits } from '../insertion/draws.ts'
import { emptyDelivery, optionCost, optionRoom, servesOption } from '../insertion/option.ts'
import { stockless } from '../insertion/source.ts'
import type { Batch, Placement, RunTake } from '../model/batch.ts'
import type { LineModel } from '../model/model.ts'
import { OPTION_SIZE } from '../model/options.ts'
import { below, type Random } from '../model/random.ts'
import type { State } from '../model/state.ts'
import { routeRoom } from '../model/stores-fleets.ts'
import type { UndoLog } from '../model/undo-log.ts'
import { SLACK } from '../model/units.ts'

/** Lines put into another order at once, at most. */
const MOST_JOBS = 48
/** Exchanges and shifts looked at in one call, per pair of jobs. */
const LOOKS_PER_PAIR = 4

interface Job {
  placement: Placement
  line: LineModel
  batch: Batch
  take: RunTake
  /** Filler time for all of its containers, a set-up included. */
  work: number
  /** By fill day: cost of lateness and standing when the last container is filled then. */
  cost: Float64Array
}

/** Puts lines of one filler into a better order, if one is found on paper. Answers whether it tried. */
export function resequence(log: UndoLog, random: Random): boolean {
  const { state } = log
  const { model } = state
  const filler = below(random, Math.max(1, model.fillers.length))
  const jobs = jobsOf(state, filler, random)
  if (jobs.length < 2) return false
  const start = Math.min(
    ...jobs.map((job) =>
      job.placement.deliveries[0].runs.reduce((day, take) => Math.min(day, take.day), model.horizon),
    ),
  )
  for (const job of jobs) log.lift(job.placement)
  const paper = new Paper(state, filler, start)
  const before = paper.cost(jobs)
  // No line is late: another order would improve nothing.
  if (before <= 0) return false
  const order = descend(paper, perturbed(jobs, random), random)
  if (paper.cost(order) >= before + 1e-9 && random() < 0.9) return true
  let from = start
  for (const job of order) {
    const placement = layFrom(state, job, filler, from)
    if (!placement) continue
    log.place(placement)
    while (from < model.horizon && model.fillers[filler].minutes[from] - state.minutesUsed[filler][from] <= 0) from++
  }
  return true
}

/** Lines that one filler fills from one batch each, in the order in which they are done; a stretch of them. */
function jobsOf(state: State, filler: number, random: Random): Job[] {
  const { model } = state
  const found: { placement: Placement; last: number }[] = []
  for (const placement of state.placements) {
    if (placement?.deliveries.length !== 1 || placement.delivered < placement.line.quantity) continue
    const [delivery] = placement.deliveries
    if (delivery.lots.length > 0 || delivery.runs.length === 0) continue
    const [first] = delivery.runs
    if (delivery.runs.some((take) => take.filler !== filler || take.batch !== first.batch || take.fromSurplus > 0))
      continue
    found.push({ placement, last: Math.max(...delivery.runs.map((take) => take.day)) })
  }
  found.sort((a, b) => a.last - b.last || a.placement.line.index - b.placement.line.index)
  const skip = found.length > MOST_JOBS ? below(random, found.length - MOST_JOBS + 1) : 0
  return found.slice(skip, skip + MOST_JOBS).map(({ placement }) => {
    const { line } = placement
    const [take] = placement.deliveries[0].runs
    const each = model.fillers[filler].each[model.packs[line.pack].type]
    const work = line.quantity * each + model.fillers[filler].setupMinutes[line.beer]
    return { placement, line, batch: take.batch, take, work, cost: costByDay(state, line) }
  })
}

/** The least cost of lateness among dispatches that a last fill on each day can still make; infinity where none. */
function costByDay(state: State, line: LineModel): Float64Array {
  const { model } = state
  const pack = model.packs[line.pack]
  const units = line.quantity * pack.nominal
  const cost = new Float64Array(model.horizon + 1).fill(line.unservedRate * units)
  const { options } = line
  for (let at = 0; at < options.length; at += OPTION_SIZE) {
    const day = options[at + 1] - pack.conditioning
    const late = units * Math.max(0, options[at + 2] - line.dueOn) * line.lateRate
    if (day >= 0 && day <= model.horizon && late < cost[day]) cost[day] = late
  }
  for (let day = model.horizon - 1; day >= 0; day--) if (cost[day + 1] < cost[day]) cost[day] = cost[day + 1]
  return cost
}

/** A filler's free minutes from a day on, added up. */
class Paper {
  private readonly sums: Float64Array
  private readonly start: number

  constructor(state: State, filler: number, start: number) {
    const { horizon, fillers } = state.model
    this.start = start
    this.sums = new Float64Array(horizon - start + 1)
    for (let day = start; day < horizon; day++) {
      const free = fillers[filler].minutes[day] - state.minutesUsed[filler][day]
      this.sums[day - start + 1] = this.sums[day - start] + Math.max(0, free)
    }
  }

  /** Days after the start, counted from 1, until so much work is done; one more than there are where it is too much. */
  private daysFor(work: number): number {
    const { sums } = this
    let low = 1
    let high = sums.length
    while (low < high) {
      const middle = (low + high) >> 1
      if (sums[middle] >= work) high = middle
      else low = middle + 1
    }
    return low
  }

  cost(order: readonly Job[]): number {
    return this.stretch(order, 0, order.length - 1, 0)
  }

  /** Cost of the jobs from one place to another in an order, where so much work lies before them. */
  stretch(order: readonly Job[], from: number, to: number, before: number): number {
    const { sums, start } = this
    let work = before
    let days = this.daysFor(before)
    let sum = 0
    for (let at = from; at <= to; at++) {
      const job = order[at]
      work += job.work
      // The next job is mostly done on the same day or the next.
      while (days < sums.length && sums[days] < work) days++
      sum += job.cost[start + days - 1]
    }
    return sum
  }
}

function perturbed(jobs: Job[], random: Random): Job[] {
  const order = [...jobs]
  for (let count = below(random, 4); count > 0; count--) {
    const at = below(random, order.length)
    const [job] = order.splice(at, 1)
    order.splice(below(random, order.length + 1), 0, job)
  }
  return order
}

/** Exchanges and shifts jobs while that helps, in a random order of looks, up to a limit. */
function descend(paper: Paper, order: Job[], random: Random): Job[] {
  const { length } = order
  // Work before each place, which a look that changes nothing need not add up again.
  const before = new Float64Array(length)
  const addUp = (from: number) => {
    for (let at = from + 1; at < length; at++) before[at] = before[at - 1] + order[at - 1].work
  }
  addUp(0)
  let looks = (LOOKS_PER_PAIR * length * length) / 2
  for (let idle = 0; idle < length * length && looks > 0; looks--) {
    const a = below(random, length)
    const b = below(random, length)
    if (a === b) continue
    const [from, to] = a < b ? [a, b] : [b, a]
    const old = paper.stretch(order, from, to, before[from])
    const move = random() < 0.5 ? swap : shift
    move(order, a, b)
    if (paper.stretch(order, from, to, before[from]) < old - 1e-9) {
      idle = 0
      addUp(from)
    } else {
      idle++
      move(order, b, a)
    }
  }
  return order
}

function swap(order: Job[], a: number, b: number): void {
  const held = order[a]
  order[a] = order[b]
  order[b] = held
}

/** Moves a job to another place; those between move up. Swapped ends undo it. */
function shift(order: Job[], from: number, to: number): void {
  const held = order[from]
  const step = from < to ? 1 : -1
  for (let at = from; at !== to; at += step) order[at] = order[at + step]
  order[to] = held
}

/** A job's containers on the earliest free minutes from a day on, and the cheapest dispatch that they can make. */
function layFrom(state: State, job: Job, filler: number, from: number): Placement | undefined {
  const { model } = state
  const { line, batch, take } = job
  if (!batch.active && batch.standing < 0) return undefined
  const transfer =
    take.bright >= 0 && batch.fermenter >= 0 && batch.transferOn < 0
      ? { on: take.transferOn, bright: take.bright }
      : undefined
  const pack = model.packs[line.pack]
  let beer = mostUnits(state, batch, pack.bright, transfer)
  const takes: RunTake[] = []
  let missing = line.quantity
  for (let day = from; day < model.horizon && missing > 0; day++) {
    if (model.fillers[filler].minutes[day] <= state.minutesUsed[filler][day]) continue
    if (!mayDraw(state, batch, line.pack, day, transfer)) continue
    const started = isSetUp(state, batch, filler, day, pack.kind)
    const quantity = Math.min(missing, drawRoom(state, batch, line.pack, filler, day, beer, started))
    if (quantity <= 0) continue
    takes.push({ ...take, day, quantity, fromSurplus: 0 })
    missing -= quantity
    // What one day draws, and loses to its set-up, another cannot.
    beer -= quantity * pack.draw + (started ? 0 : model.fillers[filler].setupLoss)
  }
  if (missing > 0) return undefined
  const placement = (at: number): Placement => ({
    line,
    deliveries: [{ ...emptyDelivery(line, at), runs: takes }],
    delivered: line.quantity,
  })
  let best = -1
  let bestCost = Number.POSITIVE_INFINITY
  for (let at = 0; at < line.options.length; at += OPTION_SIZE) {
    // A1: a batch serves only routes of its own site.
    if (model.routes[line.options[at]].site !== batch.site) continue
    const cost = optionCost(state, line, at, line.quantity)
    if (cost >= bestCost) continue
    // Fleets and stores are looked at as a whole before a move is accepted; the load of the route is looked at here.
    const free = routeRoom(state, line.options[at], line.options[at + 1])
    if (line.quantity * pack.nominal > free + SLACK) continue
    const allowed = takes.every((each) => {
      const source = stockless(batch, filler, each.day, each.quantity)
      return servesOption(state, line, source, at) && optionRoom(state, line, source, at) >= each.quantity
    })
    if (!allowed) continue
    best = at
    bestCost = cost
  }
  return best < 0 ? undefined : placement(best)
}
