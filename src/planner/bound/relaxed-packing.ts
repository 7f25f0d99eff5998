// The relaxation's containers: filled or in stock, standing in pools by site and pack, delivered to demands (D1, A2, B3).
// Containers are fractional.
import { mostLitres } from '../documents/day-limits.ts'
import type { DeliveryWay, Demand } from './demand.ts'
import { each, type Term } from './linear-model.ts'
import type { Draws, PackPool, RelaxationContext } from './relaxation-context.ts'
import { addFilling } from './relaxed-filling.ts'
import { type BeerPool, TOLERANCE_LITRES } from './supply.ts'

/** A demand with the columns of its ways, which count containers. */
export interface Served {
  demand: Demand
  ways: { column: number; way: DeliveryWay }[]
}

/** Adds demands, deliveries, stock, fills, fillers and routes. */
export function addPacking(
  context: RelaxationContext,
  pools: readonly BeerPool[],
  { demands, wholeBrews }: { demands: readonly Demand[]; wholeBrews: boolean },
): { packs: PackPool[]; served: Served[]; draws: Draws } {
  const { packs, served } = addDemands(context, demands)
  addLots(context, packs)
  const draws = addFilling(context, pools, { packs, whole: wholeBrews })
  for (const pack of packs) addPool(context, pack)
  addRoutes(context, packs)
  return { packs, served, draws }
}

/** The containers of every demand are delivered in one of its ways, or not served. */
function addDemands(
  { rows, instance }: RelaxationContext,
  demands: readonly Demand[],
): { packs: PackPool[]; served: Served[] } {
  const ordered = new Map<string, number>()
  for (const { line } of instance.lines) ordered.set(line.packId, (ordered.get(line.packId) ?? 0) + line.quantity)
  const packs = new Map<string, PackPool>()
  const served: Served[] = []
  for (const demand of demands) {
    const { facts, quantity, unservedCost, whole } = demand
    const ways = demand.ways.map((way) => {
      const { siteId } = way
      const column = rows.column({ upper: quantity, cost: way.cost })
      // A3: a line that is not split is delivered in one way or in none.
      if (whole)
        rows.equal(
          [
            [column, 1],
            [rows.binary(), -quantity],
          ],
          0,
        )
      const key = JSON.stringify([siteId, facts.pack.id])
      let pack = packs.get(key)
      if (!pack) {
        pack = { siteId, facts, ordered: ordered.get(facts.pack.id) ?? 0, fills: [], lots: [], ways: [], fit: [] }
        packs.set(key, pack)
      }
      pack.ways.push({ column, way })
      return { column, way }
    })
    served.push({ demand, ways })
    const unserved = rows.column({ upper: quantity, cost: unservedCost })
    rows.equal(each([...ways.map(({ column }) => column), unserved]), quantity)
  }
  return { packs: [...packs.values()], served }
}

/** Stock is delivered, or left at its cost (S2). */
function addLots({ rows, instance, buckets }: RelaxationContext, packs: readonly PackPool[]): void {
  const { costs, horizon, problem } = instance
  for (const { id, siteId, packId, quantity, readyOn, bestBefore: bestBeforeDate } of problem.stock) {
    const { nominal } = instance.pack(packId)
    const fit = Math.max(0, instance.at(readyOn))
    const bestBefore = instance.at(bestBeforeDate)
    const leftCost = (bestBefore <= horizon - 2 ? costs.dumped : costs.unsold) * nominal
    rows.addOffset(leftCost * quantity)
    const pack = packs.find((one) => one.siteId === siteId && one.facts.pack.id === packId)
    if (!pack || fit >= horizon || bestBefore < fit) continue
    const column = rows.column({ upper: quantity, cost: -leftCost - costs.standing * nominal * fit })
    pack.lots.push({ column, lotId: id, quantity, fit, bestBefore })
  }
  for (const { lots, ways } of packs)
    for (const bestBefore of new Set(lots.map((lot) => lot.bestBefore))) {
      if (bestBefore >= horizon - 1) continue
      // What is taken of lots that end by a day is dispatched by that day.
      const ended = lots.filter((lot) => lot.bestBefore <= bestBefore)
      const gone = ways.filter(({ way }) => way.bucket <= buckets.of(bestBefore))
      rows.atMost(
        [
          ...each(ended.map(({ column }) => column)),
          ...each(
            gone.map(({ column }) => column),
            -1,
          ),
        ],
        0,
      )
    }
}

/** A2, B3: no more is dispatched by the end of a bucket than is fit to leave by then, and in the end all of it. */
function addPool({ rows, buckets }: RelaxationContext, pack: PackPool): void {
  const changes = Array.from({ length: buckets.count }, (): Term[] => [])
  for (const { column, fitFrom } of pack.fills) changes[buckets.of(fitFrom)]!.push([column, -1])
  for (const { column, fit } of pack.lots) changes[buckets.of(fit)]!.push([column, -1])
  // What is served so late that it never pays may leave at the very end.
  for (const { column, way } of pack.ways) changes[way.route ? way.bucket : buckets.count - 1]!.push([column, 1])
  const most = pack.ordered + pack.lots.reduce((sum, { quantity }) => sum + quantity, 0)
  for (const [bucket, change] of changes.entries()) {
    pack.fit.push(rows.column({ upper: bucket === buckets.count - 1 ? 0 : most }))
    const before: Term[] = bucket > 0 ? [[pack.fit[bucket - 1]!, -1]] : []
    rows.equal([[pack.fit[bucket]!, 1], ...before, ...change], 0)
  }
}

/** D1, over the dispatch days of a bucket. */
function addRoutes({ rows, instance, buckets }: RelaxationContext, packs: readonly PackPool[]): void {
  for (const route of instance.problem.routes) {
    const mostOn = (day: number) => mostLitres(route, instance.dateOf(day)) + TOLERANCE_LITRES
    const loads = Array.from({ length: buckets.count }, (): Term[] => [])
    for (const { facts, ways } of packs)
      for (const { column, way } of ways) if (way.route === route) loads[way.bucket]!.push([column, facts.nominal])
    for (const [bucket, days] of buckets.split(instance.routeDays.get(route.id) ?? []).entries()) {
      const most = days.reduce((sum, day) => sum + mostOn(day), 0)
      if (Number.isFinite(most)) rows.atMost(loads[bucket]!, most)
    }
  }
}
