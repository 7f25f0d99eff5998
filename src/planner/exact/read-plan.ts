// A solution of the exact model as a plan document: whole numbers are rounded, and what is left in a vessel is worked out
// again from what is drawn.
import type { Instance } from '../bound/instance.ts'
import { dayNumber, type LocalDate, localDateOf } from '../calendar/days.ts'
import { planCost } from '../checker/cost.ts'
import { NO_COST, type Plan, type Vessel } from '../documents/problem.ts'
import type { Reason } from '../documents/reason.ts'
import type { Fill, Filling } from './filling.ts'
import { grouped } from './grouped.ts'
import type { Keeping } from './keeping.ts'
import { Names } from './names.ts'
import type { PricedModel } from './priced-model.ts'
import type { ContainerGroup, Delivery } from './serving.ts'
import type { Cellar, Move, Span } from './stays.ts'

export interface ModelParts {
  model: PricedModel
  instance: Instance
  cellar: Cellar
  filling: Filling
  deliveries: Delivery[]
  keeping: Keeping
}

/** A stay that the plan has, with its batch and the litres that it begins with. */
interface Stay {
  span: Span
  batchId: string
  litres: number
}

interface Run {
  fill: Fill
  id: string
  fixed?: true
  stay: Stay
  quantity: number
}

type Solution = ModelParts & { value: (column: number) => number; date: (day: number) => LocalDate; names: Names }

const NO_WAY: Reason = {
  rule: 'B5',
  code: 'AS_RECORDED',
  params: { words: 'No day leaves room to fill, condition, deliver and settle this line.' },
}
const NO_BETTER: Reason = {
  rule: 'E1',
  code: 'AS_RECORDED',
  params: { words: 'All rules weighed at once, other lines take what this one needs.' },
}

/** Reads the plan out of the columns of a solution. */
export function readExactPlan(parts: ModelParts, values: Float64Array): Plan {
  const today = dayNumber(parts.instance.problem.today)
  const value = (column: number) => values[column] ?? 0
  const solution: Solution = {
    ...parts,
    value,
    names: new Names(parts.instance.problem, parts.keeping, value),
    date: (day) => localDateOf(today + day),
  }
  const brewed = readBrews(solution)
  const runs = readRuns(solution, brewed.stays)
  const fermenters = emptyVessels(solution, brewed.stays, runs)
  const brights = readTransfers(solution, fermenters.transferred)
  const brightRuns = readRuns(solution, brights.stays)
  for (const stay of brights.stays)
    giveWhatIsDrawn(stay, -leftIn(stay, brightRuns, runs), brewed.brews, brights.transfers)
  const served = readDeliveries(solution, [...runs, ...brightRuns])
  const plan = {
    brews: brewed.brews,
    transfers: brights.transfers,
    fillRuns: [...runs, ...brightRuns].map(({ id, fixed, stay, fill, quantity }) => ({
      id,
      batchId: stay.batchId,
      fillerId: fill.filler.id,
      on: solution.date(fill.day),
      packId: fill.facts.pack.id,
      quantity,
      ...(fixed ? { fixed } : {}),
    })),
    dumped: [...fermenters.dumped, ...emptyVessels(solution, brights.stays, brightRuns, runs).dumped],
    ...served,
    cost: NO_COST,
  }
  return { ...plan, cost: planCost(parts.instance.problem, plan) }
}

/** The planned brews, and the stays in fermenters: those that begin with a brew, and those that stand already. */
function readBrews({ cellar, value, date, names }: Solution): { brews: Plan['brews']; stays: Stay[] } {
  const stays: Stay[] = []
  const brews: Plan['brews'] = []
  for (const span of [...cellar.spans.values()].flat())
    if (span.standing && span.vessel.kind === 'FERMENTER' && value(span.column) > 0.5)
      stays.push({ span, batchId: span.standing.id, litres: span.standing.litres })
  for (const { vessel, beer, day, spans, litres } of cellar.brews) {
    const span = spans.find(({ column }) => value(column) > 0.5)
    if (!span) continue
    const name = names.brew(span)
    brews.push({ ...name, beerId: beer.id, vesselId: vessel.id, brewOn: date(day), litres: value(litres) })
    stays.push({ span, batchId: name.id, litres: value(litres) * (1 - beer.lossFraction) })
  }
  return { brews, stays }
}

/** The runs that draw from these stays. */
function readRuns({ filling, value, names }: Solution, stays: readonly Stay[]): Run[] {
  return filling.fills.flatMap((fill) => {
    const quantity = Math.round(value(fill.column))
    const stay = stays.find(({ span }) => span.vessel === fill.vessel && span.from <= fill.day && fill.day <= span.to)
    return quantity > 0 && stay ? [{ ...names.run(fill), fill, stay, quantity }] : []
  })
}

/**
 * Litres that the runs of a stay leave. A set-up that an earlier run of the same batch, kind, filler and day has had in the
 * fermenter costs no beer again in the bright vessel.
 */
function leftIn(stay: Stay, runs: readonly Run[], earlier: readonly Run[]): number {
  const mine = runs.filter((run) => run.stay === stay)
  const setups = grouped(mine, setupKey).filter(
    ([run]) => !earlier.some((other) => JSON.stringify(setupKey(other)) === JSON.stringify(setupKey(run!))),
  )
  let left = stay.litres
  for (const { fill, quantity } of mine) left -= fill.facts.drawn * quantity
  for (const [run] of setups) left -= run!.fill.filler.setupLossLitres
  return left
}

/**
 * Brews and transfers the hair more that a bright vessel is short of: the solver takes a stay that is there to a millionth for one that
 * is there, and a millionth of its litres may be more than the rules overlook (V9).
 */
function giveWhatIsDrawn(stay: Stay, missing: number, brews: Plan['brews'], transfers: Plan['transfers']): void {
  const brew = brews.find(({ id }) => id === stay.batchId)
  const transfer = transfers.find(({ batchId }) => batchId === stay.batchId)
  if (missing <= 0 || !brew || brew.fixed || !transfer || transfer.fixed) return
  stay.litres += missing
  transfer.litres += missing
  brew.litres += missing / (1 - stay.span.beer.lossFraction)
}

/** What happens to the beer that the runs do not draw: transferred, dumped, or still there. */
function emptyVessels(
  { cellar, instance, value, date }: Solution,
  stays: readonly Stay[],
  runs: readonly Run[],
  earlier: readonly Run[] = [],
): { dumped: Plan['dumped']; transferred: { move: Move; stay: Stay; litres: number }[] } {
  const dumped: Plan['dumped'] = []
  const transferred: { move: Move; stay: Stay; litres: number }[] = []
  for (const stay of stays) {
    const { span, batchId } = stay
    const left = leftIn(stay, runs, earlier)
    const move = cellar.moves.find(
      ({ source, day, chosen }) => source.vessel === span.vessel && day === span.to && value(chosen) > 0.5,
    )
    const stays = move || span.to === instance.horizon
    const litres = stays ? value(cellar.arrivals.find(({ spans }) => spans.includes(span))!.dumped) : left
    // As late as can be: that is always after the transfer that brought it (T4).
    if (litres > TRACE_LITRES)
      dumped.push({ batchId, on: date(Math.min(span.to, instance.horizon - 1)), litres: Math.min(litres, left) })
    if (move) transferred.push({ move, stay, litres: left - (litres > TRACE_LITRES ? litres : 0) })
  }
  return { dumped, transferred }
}

/** Litres that rounding may leave behind; far below what the rules compare. */
const TRACE_LITRES = 1e-4

function setupKey({ stay, fill }: Run): string[] {
  return [stay.batchId, fill.facts.type.kind, fill.filler.id, String(fill.day)]
}

/** The transfers, and the stays in bright vessels. */
function readTransfers(
  { cellar, instance, value, date, names }: Solution,
  transferred: readonly { move: Move; stay: Stay; litres: number }[],
): { transfers: Plan['transfers']; stays: Stay[] } {
  const spanFrom = (vessel: Vessel, day: number) =>
    cellar.spans.get(vessel)!.find((span) => !span.standing && span.from === day && value(span.column) > 0.5)!
  const stays = transferred.map(({ move, stay, litres }) => ({
    span: spanFrom(move.to, move.day),
    batchId: stay.batchId,
    litres,
  }))
  const transfers = transferred.map(({ move, stay, litres }) => ({
    ...names.transfer(move),
    batchId: stay.batchId,
    toVesselId: move.to.id,
    on: date(move.day),
    litres,
  }))
  for (const batch of instance.problem.batches)
    if (batch.transferredOn !== undefined) {
      const vessel = instance.vessel(batch.vesselId)
      const span = cellar.spans.get(vessel)!.find((one) => one.standing === batch && value(one.column) > 0.5)!
      stays.push({ span, batchId: batch.id, litres: batch.litres })
    }
  return { transfers, stays }
}

/** Deliveries with their sources, and what is late, unserved or a broken promise. */
function readDeliveries(
  { deliveries, instance, value, date }: Solution,
  runs: readonly Run[],
): Pick<Plan, 'deliveries' | 'unserved' | 'late' | 'brokenPromises'> {
  const rest = new Map(runs.map((run) => [run, run.quantity]))
  /** Takes containers of a source from its runs, first come first served: containers of one source are alike. */
  const takeFrom = (source: ContainerGroup, quantity: number): Plan['deliveries'][number]['from'] => {
    if (source.lot) return [{ stockLotId: source.lot.id, quantity }]
    const from: Plan['deliveries'][number]['from'] = []
    let wanted = quantity
    for (const [run, there] of rest) {
      const part = Math.min(wanted, there)
      if (part === 0 || !source.fills.includes(run.fill)) continue
      from.push({ fillRunId: run.id, quantity: part })
      rest.set(run, there - part)
      wanted -= part
    }
    return from
  }
  const made = deliveries.flatMap((delivery) => {
    const takes = delivery.takes
      .map(({ source, column }) => ({ source, quantity: Math.round(value(column)) }))
      .filter(({ quantity }) => quantity > 0)
    return takes.length > 0 ? [{ ...delivery, takes, from: takes.flatMap((t) => takeFrom(t.source, t.quantity)) }] : []
  })
  const servable = new Set(deliveries.map((delivery) => delivery.line.line))
  const unserved: Plan['unserved'] = []
  const late: Required<Plan>['late'] = []
  const brokenPromises: Required<Plan>['brokenPromises'] = []
  for (const { line } of instance.lines) {
    const mine = made.filter((delivery) => delivery.line.line === line)
    const delivered = mine.reduce((sum, { takes }) => sum + takes.reduce((all, { quantity }) => all + quantity, 0), 0)
    const isLate = mine.some(({ option }) => option.daysLate > 0)
    const missing = line.quantity - delivered
    const reasons = [servable.has(line) ? NO_BETTER : NO_WAY]
    if (missing > 0) unserved.push({ orderLineId: line.id, quantity: missing, reasons })
    if (isLate) late.push({ orderLineId: line.id, reasons })
    if (line.promisedOn !== undefined && (isLate || missing > 0)) {
      const now = missing > 0 ? null : date(Math.max(...mine.map(({ option }) => option.serveOn)))
      brokenPromises.push({ orderLineId: line.id, promisedOn: line.promisedOn, now, reasons })
    }
  }
  const listed = made.map(({ line, option, from }) => ({
    orderLineId: line.line.id,
    routeId: option.route.id,
    dispatchOn: date(option.dispatchOn),
    serveOn: date(option.serveOn),
    from,
  }))
  return { deliveries: listed, unserved, late, brokenPromises }
}
