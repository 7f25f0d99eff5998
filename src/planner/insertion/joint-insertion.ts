// Lines that are asked for together share beer, containers and routes: each is placed beside those before
// it. Where one then has to wait longer than it would alone, other orders of insertion are tried, so that the last of them is
// served soonest.

import type { OrderLine } from '../documents/problem.ts'
import { lastServe, type Placement } from '../model/batch.ts'
import { compileLine } from '../model/compile.ts'
import type { LineModel } from '../model/model.ts'
import { OPTION_SIZE } from '../model/options.ts'
import type { State } from '../model/state.ts'
import { UndoLog } from '../model/undo-log.ts'
import { placeEarliest } from './earliest-insertion.ts'

/** Other orders tried for a few lines, and for many. */
const TRIES = { few: 6, many: 2 } as const
/** So many are few. */
const FEW = 20

/** Lines that were inserted into a state, in the order in which they were asked for, and what serves them. */
export interface InsertedLines {
  lines: readonly LineModel[]
  placements: readonly Placement[]
}

/**
 * Inserts lines into the plan as it stands, each on the first day on which all of it can be served; looks; and takes them out
 * again. Asked again with those days as the latest, it serves each line no later.
 */
export function whileInserted<T>(state: State, lines: readonly OrderLine[], look: (inserted: InsertedLines) => T): T {
  const log = new UndoLog(state)
  try {
    const entered = lines.map((line) => enterLine(log, line))
    const placements = insertedSoonest(state, entered)
    for (const placement of placements) log.place(placement)
    return look({ lines: entered, placements })
  } finally {
    log.undo()
  }
}

/** Makes a line known to the state without placing it. */
export function enterLine(log: UndoLog, each: OrderLine): LineModel {
  const line = compileLine(log.state.model, each)
  log.enter(line)
  return line
}

/** The best placements found for lines of the state, none of which is placed, to be applied in this order; the state is as before. */
export function insertedSoonest(state: State, lines: readonly LineModel[]): readonly Placement[] {
  const asGiven = attempt(state, lines)
  if (lines.length === 1) return asGiven.placements
  let best = bestOrder(state, lines, asGiven)
  if (best === asGiven) return best.placements
  // A caller who gets these days asks for no later ones: the answer to that question must be the same.
  const daysOf = ({ serve }: Attempt) => lines.map(({ index }) => serve.get(index) ?? -1).join()
  const seen = new Set<string>()
  for (let settled = false; !settled; ) {
    const limited = lines.map((line) => until(line, best.serve.get(line.index) ?? -1))
    const again = bestOrder(state, limited, attempt(state, limited))
    // Where there is not enough for all, lines may take it from each other in turn, and the days never settle.
    if (again.lost > best.lost || seen.has(daysOf(best))) return asGiven.placements
    seen.add(daysOf(best))
    settled = daysOf(again) === daysOf(best)
    best = again
  }
  const own = new Map(lines.map((line) => [line.index, line]))
  return best.placements.map((placement) => ({ ...placement, line: own.get(placement.line.index) ?? placement.line }))
}

/** How lines are served when inserted in one order, and how bad that is: less is better, the first difference decides. */
interface Attempt {
  order: readonly LineModel[]
  placements: readonly Placement[]
  /** By index of the line: day of its last serving, where it is wholly served. */
  serve: ReadonlyMap<number, number>
  /** Cost of what is not served. */
  lost: number
  /** Cost of promises that are kept late. */
  broken: number
  /** Day by which all that is served whole is served, and the sum of such days. */
  last: number
  sum: number
}

/** Inserts lines in an order, looks, and takes them out again. */
function attempt(state: State, order: readonly LineModel[]): Attempt {
  const placements: Placement[] = []
  const log = new UndoLog(state)
  try {
    for (const line of order) {
      const placement = placeEarliest(state, line)
      if (!placement) continue
      log.place(placement)
      placements.push(placement)
    }
  } finally {
    log.undo()
  }
  const byLine = new Map(placements.map((placement) => [placement.line.index, placement]))
  const serve = new Map<number, number>()
  let lost = 0
  let broken = 0
  let sum = 0
  // Always summed in the same order, so that equal sums are equal.
  for (const line of [...order].sort((a, b) => a.index - b.index)) {
    const placement = byLine.get(line.index)
    const { nominal } = state.model.packs[line.pack]
    lost += (line.quantity - (placement?.delivered ?? 0)) * nominal * line.unservedRate
    if (placement?.delivered !== line.quantity) continue
    const day = lastServe(placement)
    serve.set(line.index, day)
    sum += day
    if (line.promised) broken += Math.max(0, day - line.dueOn) * line.quantity * nominal * line.lateRate
  }
  return { order, placements, serve, lost, broken, last: Math.max(-1, ...serve.values()), sum }
}

function isBetter(a: Attempt, b: Attempt): boolean {
  return (a.lost - b.lost || a.broken - b.broken || a.last - b.last || a.sum - b.sum) < 0
}

/** The best of some orders of insertion. */
function bestOrder(state: State, lines: readonly LineModel[], asGiven: Attempt): Attempt {
  const alone = new Map<number, number>()
  const couldBe = (line: LineModel): number => {
    let day = alone.get(line.index)
    if (day === undefined) {
      const placement = placeEarliest(state, line)
      day = placement?.delivered === line.quantity ? lastServe(placement) : Number.POSITIVE_INFINITY
      alone.set(line.index, day)
    }
    return day
  }
  let best = asGiven
  let latest = asGiven
  const tried = new Set([orderKey(lines)])
  for (let tries = lines.length <= FEW ? TRIES.few : TRIES.many; tries > 0; tries--) {
    const order = nextOrder(latest, couldBe) ?? otherOfTwo(latest)
    if (!order || tried.has(orderKey(order))) break
    tried.add(orderKey(order))
    latest = attempt(state, order)
    if (isBetter(latest, best)) best = latest
  }
  return best
}

/** An order in which what comes last in this one might come sooner; undefined where no line before it is in its way. */
function nextOrder({ order, serve, last }: Attempt, couldBe: (line: LineModel) => number): LineModel[] | undefined {
  const others = (line: LineModel) => order.filter((each) => each !== line)
  const short = order.filter((line) => !serve.has(line.index))
  const robbed = short.find((line) => couldBe(line) < Number.POSITIVE_INFINITY)
  if (robbed) return [robbed, ...others(robbed)]
  // What others take may make room, where today's stock fills a store to the brim.
  const [crowded] = short
  if (crowded && crowded !== order.at(-1)) return [...others(crowded), crowded]
  const late = order.filter((line) => serve.get(line.index) === last && last > Math.max(0, line.serveOn))
  const [waiting] = late
  return waiting && late.every((line) => couldBe(line) < last) ? [waiting, ...others(waiting)] : undefined
}

/** Two lines that wait the other way round: it must not matter which of them is named first. */
function otherOfTwo({ order, last }: Attempt): LineModel[] | undefined {
  const [one, two] = order
  if (!one || !two || order.length > 2) return undefined
  return last > Math.max(0, one.serveOn, two.serveOn) ? [two, one] : undefined
}

function orderKey(order: readonly LineModel[]): string {
  return order.map(({ index }) => index).join()
}

/** The line as if it were wanted no later than a day; as it is for a day before the horizon. */
function until(line: LineModel, day: number): LineModel {
  if (day < 0) return line
  const options: number[] = []
  for (let at = 0; at < line.options.length; at += OPTION_SIZE)
    if (line.options[at + 2] <= day) options.push(line.options[at], line.options[at + 1], line.options[at + 2])
  return { ...line, latestServeOn: day, options: Uint16Array.from(options) }
}
