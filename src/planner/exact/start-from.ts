// A plan as a point of the exact model, from which a solver may start: the choices of the plan, without what follows from
// them (set-ups, brews, what is open), which the solver completes.
import { dayNumber, type LocalDate } from '../calendar/days.ts'
import type { Plan } from '../documents/problem.ts'
import type { BatchFacts, Stay } from '../facts/cellar.ts'
import { deriveFacts } from '../facts/facts.ts'
import type { ModelParts } from './read-plan.ts'
import { columnsOf } from './stays.ts'

/** Values of columns. */
type Point = Map<number, number>

/** The columns that a plan chooses, with their values; undefined where it does what the model does not know. */
export function startFrom(parts: ModelParts, plan: Plan): Point | undefined {
  const { instance, cellar, filling, deliveries } = parts
  const point: Point = new Map()
  const spans = [...cellar.spans.values()].flat()
  for (const column of columnsOf(spans)) point.set(column, 0)
  for (const { chosen } of cellar.moves) point.set(chosen, 0)
  for (const { column } of filling.fills) point.set(column, 0)
  for (const { chosen, takes } of deliveries) {
    point.set(chosen, 0)
    for (const { column } of takes) point.set(column, 0)
  }
  const facts = deriveFacts(instance.problem, plan)
  for (const batch of facts.batches.values()) {
    for (const stay of batch.stays) chooseStay(parts, point, batch, stay)
    chooseMove(parts, point, batch)
  }
  for (const { stay, filler, day, of, run } of facts.runs) {
    const fill = filling.fills.find(
      (one) =>
        one.vessel.id === stay.vessel.id &&
        one.filler.id === filler.id &&
        one.day === day &&
        one.facts.pack.id === of.pack.id,
    )
    if (!fill) return undefined
    add(point, fill.column, run.quantity)
  }
  return chooseDeliveries(parts, point, plan) ? point : undefined
}

function add(point: Point, column: number, amount: number): void {
  point.set(column, (point.get(column) ?? 0) + amount)
}

/** A stay of the plan; where the model has none that ends so, or several, the vessel is left to the solver. */
function chooseStay({ instance, cellar }: ModelParts, point: Point, batch: BatchFacts, stay: Stay): void {
  const all = cellar.spans.get(instance.vessel(stay.vessel.id)) ?? []
  const to = stay.emptiedOn ?? instance.horizon
  const ending = all.filter(({ beer, to: end }) => beer.id === batch.beer.id && end === to)
  // Of brew days that are as good as each other the model has the last.
  const begins = ending.flatMap(({ standing, from }) => (standing || from < stay.enters ? [] : [from]))
  const from = Math.min(...begins)
  const [span, ...others] = ending.filter(({ standing, from: begin }) =>
    stay.planned ? !standing && begin === from : standing?.id === batch.id,
  )
  if (span && others.length === 0) point.set(span.column, 1)
  else for (const column of columnsOf(all)) point.delete(column)
}

function chooseMove({ cellar }: ModelParts, point: Point, { transfer, stays, beer }: BatchFacts): void {
  const from = stays[0]
  if (!transfer || !from) return
  const possible = cellar.moves.filter(
    ({ source, to, day }) =>
      source.vessel.id === from.vessel.id &&
      source.beer.id === beer.id &&
      to.id === transfer.vessel.id &&
      day === transfer.day,
  )
  const [move, ...others] = possible.filter(({ sources }) => sources.some(({ column }) => point.get(column) === 1))
  if (move && others.length === 0) point.set(move.chosen, 1)
  else for (const { chosen } of possible) point.delete(chosen)
}

/** The deliveries with their sources; false where the model does not have one. */
function chooseDeliveries({ instance, deliveries }: ModelParts, point: Point, plan: Plan): boolean {
  const dayOf = (date: LocalDate) => dayNumber(date) - dayNumber(instance.problem.today)
  const filledOn = new Map(plan.fillRuns.map(({ id, on }) => [id, dayOf(on)]))
  return plan.deliveries.every(({ orderLineId, routeId, dispatchOn, from }) => {
    const delivery = deliveries.find(
      ({ line, option }) =>
        line.line.id === orderLineId && option.route.id === routeId && option.dispatchOn === dayOf(dispatchOn),
    )
    if (!delivery) return false
    point.set(delivery.chosen, 1)
    return from.every(({ fillRunId, stockLotId, quantity }) => {
      const take = delivery.takes.find(({ source }) =>
        fillRunId === undefined
          ? source.lot?.id === stockLotId
          : source.lot === undefined && source.from === filledOn.get(fillRunId),
      )
      if (take) add(point, take.column, quantity)
      return take !== undefined
    })
  })
}
