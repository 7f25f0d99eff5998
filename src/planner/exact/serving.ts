// The exact model's other half: from filled containers and stock to the accounts (sections 3, 5 and 6), with clean
// containers, stores, routes and what is never delivered.
import type { DispatchOption, Instance, LineFacts, PackFacts } from '../bound/instance.ts'
import { each, type Term } from '../bound/linear-model.ts'
import { mostLitres } from '../documents/day-limits.ts'
import type { Fleet, StockLot, Store } from '../documents/problem.ts'
import type { Fill } from './filling.ts'
import { grouped } from './grouped.ts'
import { LITRE_SLACK, type PricedModel } from './priced-model.ts'
import { mostOfWhole } from './whole-sums.ts'

/** Containers that are alike in all that matters after the fill: those of one lot, or of one site, pack and fill day. */
export interface ContainerGroup {
  siteId: string
  facts: PackFacts
  lot?: StockLot
  /** Fills of that day, where it is no lot. */
  fills: Fill[]
  /** First day on which they stand; fill day, or today for a lot. */
  from: number
  /** First day on which they may be dispatched (B3). */
  fit: number
  bestBefore: number
  /** Containers never delivered. */
  left: number
}

/** One way to deliver a line, chosen or not, and what it takes from each source. */
export interface Delivery {
  line: LineFacts
  option: DispatchOption
  chosen: number
  takes: { source: ContainerGroup; column: number }[]
}

/** Adds stock, deliveries and the rules that bind them. */
export function addServing(model: PricedModel, instance: Instance, fills: readonly Fill[]): Delivery[] {
  const sources = addSources(model, instance, fills)
  const deliveries = instance.lines.flatMap((line) => addLine(model, instance, line, sources))
  const takes = deliveries.flatMap((delivery) => delivery.takes.map((take) => ({ ...take, delivery })))
  const takesOf = new Map<ContainerGroup, Term[]>(sources.map((source) => [source, []]))
  for (const { source, column } of takes) takesOf.get(source)!.push([column, 1])
  for (const source of sources) {
    // A2 and V9: what is filled or in stock is delivered or left.
    const filled = each(
      source.fills.map(({ column }) => column),
      -1,
    )
    model.rows.equal([...takesOf.get(source)!, [source.left, 1], ...filled], source.lot?.quantity ?? 0)
  }
  addDrops(model, instance, deliveries)
  addRoutes(model, instance, deliveries)
  for (const fleet of instance.problem.fleets) addFleet(model, instance, fleet, sources, deliveries)
  for (const store of instance.problem.stores)
    for (let day = 0; day < instance.horizon; day++) addStoreDay(model, { store, day, sources, takes })
  return deliveries
}

function addSources(model: PricedModel, instance: Instance, fills: readonly Fill[]): ContainerGroup[] {
  const { horizon, costs, problem } = instance
  const filled = grouped(fills, ({ vessel, facts, day }) => [vessel.siteId, facts.pack.id, day]).map(
    (group): ContainerGroup => {
      const { vessel, facts, day } = group[0]!
      return {
        siteId: vessel.siteId,
        facts,
        fills: group,
        from: day,
        fit: day + facts.pack.conditioningDays,
        bestBefore: day + facts.pack.shelfLifeDays,
        left: model.rows.column(),
      }
    },
  )
  const stock = problem.stock.map(
    (lot): ContainerGroup => ({
      siteId: lot.siteId,
      facts: instance.pack(lot.packId),
      lot,
      fills: [],
      from: 0,
      fit: Math.max(0, instance.at(lot.readyOn)),
      bestBefore: instance.at(lot.bestBefore),
      left: model.rows.column(),
    }),
  )
  const sources = [...stock, ...filled]
  for (const { left, bestBefore, facts } of sources) {
    // S2: emptied within the horizon, or unsold at its end.
    const term = bestBefore <= horizon - 2 ? 'dumped' : 'unsold'
    model.charge(left, term, costs[term] * facts.nominal)
  }
  return sources
}

/** A1, A3, B3, B4 and the line's costs. */
function addLine(
  model: PricedModel,
  instance: Instance,
  line: LineFacts,
  sources: readonly ContainerGroup[],
): Delivery[] {
  const { nominal, pack } = line.facts
  const { quantity, splittable } = line.line
  const unservedTerm = line.promised ? 'unservedPromised' : 'unserved'
  model.chargeAlways(unservedTerm, line.unservedRate * nominal * quantity)
  const deliveries = line.options.flatMap((option): Delivery[] => {
    const usable = sources.filter(
      (source) =>
        // V8: a quarantined lot stands, and gives nothing.
        !source.lot?.quarantined &&
        source.facts.pack === pack &&
        source.siteId === option.siteId &&
        source.fit <= option.dispatchOn &&
        source.bestBefore >= option.serveOn + line.minDaysOnSale,
    )
    if (usable.length === 0) return []
    const chosen = model.rows.binary()
    const takes = usable.map((source) => ({ source, column: model.rows.column({ upper: quantity, whole: true }) }))
    for (const { source, column } of takes) {
      model.charge(column, unservedTerm, -line.unservedRate * nominal)
      model.charge(column, line.promised ? 'latePromised' : 'late', line.lateRate * nominal * option.daysLate)
      const waited = option.serveOn - (source.fit + option.lead)
      model.charge(column, 'standing', instance.costs.standing * nominal * waited)
    }
    const taken = each(takes.map(({ column }) => column))
    if (splittable) model.rows.atMost([...taken, [chosen, -quantity]], 0)
    else model.rows.equal([...taken, [chosen, -quantity]], 0)
    return [{ line, option, chosen, takes }]
  })
  model.rows.atMost(each(deliveries.map(({ chosen }) => chosen)), splittable ? 2 : 1)
  if (splittable) {
    const all = deliveries.flatMap(({ takes }) => takes.map(({ column }) => column))
    model.rows.atMost(each(all), quantity)
  }
  return deliveries
}

/** A drop for each account and dispatch day with a delivery. */
function addDrops(model: PricedModel, instance: Instance, deliveries: readonly Delivery[]): void {
  for (const group of grouped(deliveries, ({ line, option }) => [line.account.id, option.dispatchOn])) {
    const drop = model.rows.column({ upper: 1 })
    model.charge(drop, 'drop', instance.costs.drop)
    for (const ways of grouped(group, ({ line }) => [line.line.id])) {
      const chosen = ways.map((way) => way.chosen)
      // The ways of a line that is not split exclude each other.
      if (!ways[0]!.line.line.splittable) model.rows.atMost([...each(chosen), [drop, -1]], 0)
      else
        for (const column of chosen)
          model.rows.atMost(
            [
              [column, 1],
              [drop, -1],
            ],
            0,
          )
    }
  }
}

/** D1. */
function addRoutes(model: PricedModel, instance: Instance, deliveries: readonly Delivery[]): void {
  for (const group of grouped(deliveries, ({ option }) => [option.route.id, option.dispatchOn])) {
    const { route, dispatchOn } = group[0]!.option
    const most = mostLitres(route, instance.dateOf(dispatchOn))
    if (!Number.isFinite(most)) continue
    const lines = grouped(group, ({ line }) => [line.line.id]).map(([way]) => way!.line)
    // What whole lines cannot take up of a route is of no use; of lines that are split, whole containers.
    const whole = lines.every(({ line }) => !line.splittable)
    const sizes = lines.map(({ facts, line }) => facts.nominal * (whole ? line.quantity : 1))
    const limit = mostOfWhole(most + LITRE_SLACK, sizes, whole ? 'ONCE' : 'OFTEN')
    const litres = group.flatMap(({ takes, line }) => takes.map(({ column }): Term => [column, line.facts.nominal]))
    model.rows.atMost(litres, limit)
  }
}

/** C1: up to every day no more containers are filled than were clean at first or have come back clean. */
function addFleet(
  model: PricedModel,
  instance: Instance,
  fleet: Fleet,
  sources: readonly ContainerGroup[],
  deliveries: readonly Delivery[],
): void {
  const { horizon } = instance
  const washDays = fleet.washDays
  const mine = sources.filter(({ siteId, facts }) => siteId === fleet.siteId && facts.type.id === fleet.containerTypeId)
  const clean: { day: number; column: number }[] = []
  const cleanAgain = (day: number, column: number) => {
    // What would be clean by today is in `cleanNow`.
    if (day + washDays > 0) clean.push({ day: day + washDays, column })
  }
  for (const { bestBefore, left } of mine) if (bestBefore <= horizon - 2) cleanAgain(Math.max(0, bestBefore + 1), left)
  for (const { line, option, takes } of deliveries) {
    const { returnDays } = line.account
    if (returnDays === undefined) continue
    for (const { source, column } of takes) if (mine.includes(source)) cleanAgain(option.serveOn + returnDays, column)
  }
  for (const day of new Set(mine.filter(({ lot }) => lot === undefined).map(({ from }) => from))) {
    const filled = mine.flatMap(({ fills, from }) => (from <= day ? fills.map(({ column }) => column) : []))
    const listed = fleet.returns.filter(({ on }) => {
      const cleanOn = instance.at(on) + washDays
      return 0 < cleanOn && cleanOn <= day
    })
    const back = clean.filter((one) => one.day <= day).map(({ column }) => column)
    const supply = fleet.cleanNow + listed.reduce((sum, { quantity }) => sum + quantity, 0)
    model.rows.atMost([...each(filled), ...each(back, -1)], supply)
  }
}

interface StoreDay {
  store: Store
  day: number
  sources: readonly ContainerGroup[]
  takes: readonly { source: ContainerGroup; column: number; delivery: Delivery }[]
}

/** S1 on one day. */
function addStoreDay(model: PricedModel, { store, day, sources, takes }: StoreDay): void {
  const stands = (source: ContainerGroup) =>
    source.siteId === store.siteId &&
    source.from <= day &&
    (day < source.fit ? source.facts.pack.conditionIn : 'COLD') === store.climate
  const planned: Term[] = []
  const stock: Term[] = []
  let mostStock = 0
  for (const source of sources) {
    if (!stands(source)) continue
    if (source.bestBefore >= day) (source.lot ? stock : planned).push([source.left, source.facts.nominal])
    mostStock += (source.lot?.quantity ?? 0) * source.facts.nominal
  }
  for (const { source, column, delivery } of takes)
    if (stands(source) && delivery.option.dispatchOn > day)
      (source.lot ? stock : planned).push([column, source.facts.nominal])
  const capacity = store.capacityLitres + LITRE_SLACK
  if (mostStock <= capacity) {
    const all = [...planned, ...stock]
    const most = mostOfWhole(
      capacity,
      all.map(([, nominal]) => nominal),
      'OFTEN',
    )
    model.rows.atMost(all, most)
    return
  }
  // The stock of today may be too much for the store; while it is, nothing that the plan fills stands there.
  const overfull = model.rows.binary()
  model.rows.atMost([...planned, [overfull, capacity]], capacity)
  model.rows.atMost([...planned, ...stock, [overfull, -mostStock]], capacity)
}
