// The relaxation's way of each container from its batch or lot to its demand (A1, B3, B4). A demand that takes anything of
// a batch needs the whole batch, in a vessel of its own: without that, a fraction of a brew would serve everyone.
import { type BeerColumns, drawableShare, forgiving } from './beer-columns.ts'
import type { DeliveryWay, Demand } from './demand.ts'
import { each, type Term } from './linear-model.ts'
import type { PackPool, RelaxationContext } from './relaxation-context.ts'
import type { Served } from './relaxed-packing.ts'
import { brewWindow, type FillWindow, standingWindow } from './supply.ts'

/** What a demand can take containers from. */
interface RelaxedSource {
  /** First day on which they may be fit to leave, last day up to which they may keep. */
  fit: number
  keeps: number
  /** Column that says whether the source is there at all, and as a whole; none for lots. */
  whole?: number
  /** What one container takes, and the list of what all demands take. */
  takes: number
  taken: Term[]
}

/** Adds what each demand takes of each batch, brew and lot. */
export function addSources(
  context: RelaxationContext,
  { packs, served, beers }: { packs: readonly PackPool[]; served: readonly Served[]; beers: readonly BeerColumns[] },
): void {
  const { rows, instance } = context
  /** By the column of the source: its litres, or containers of its lot. */
  const taken = new Map<number, Term[]>()
  const takenOf = (column: number) => {
    const terms = taken.get(column) ?? []
    taken.set(column, terms)
    return terms
  }
  for (const { demand, ways } of served) {
    const siteIds = new Set(ways.map(({ way }) => way.siteId))
    for (const siteId of siteIds) {
      const pack = packs.find((one) => one.siteId === siteId && one.facts === demand.facts)
      const beer = beers.find(({ pool }) => pool.siteId === siteId && pool.beer === demand.facts.beer)
      const sources = [
        ...(pack?.lots ?? []).map(
          ({ column, fit, bestBefore }): RelaxedSource => ({
            fit,
            keeps: bestBefore,
            takes: 1,
            taken: takenOf(column),
          }),
        ),
        ...(beer ? batchSources(context, demand, beer, takenOf) : []),
      ]
      addDemand(
        context,
        demand,
        ways.filter(({ way }) => way.siteId === siteId),
        sources,
      )
    }
  }
  for (const { lots } of packs)
    for (const { column } of lots) rows.equal([...(taken.get(column) ?? []), [column, -1]], 0)
  for (const { pool, kept, brewed } of beers) {
    const share = drawableShare(instance, pool)
    for (const { litres } of brewed) rows.atMost([...(taken.get(litres) ?? []), [litres, -share]], 0)
    for (const { litres, standing } of kept)
      rows.atMost([...(taken.get(litres) ?? []), [litres, -forgiving(standing.batch.litres)]], 0)
  }
}

/** The standing batches and the brews that a demand can take from. */
function batchSources(
  { instance }: RelaxationContext,
  { facts: { pack, drawn } }: Demand,
  { pool, kept, brewed }: BeerColumns,
  takenOf: (column: number) => Term[],
): RelaxedSource[] {
  const { fillDays } = instance.site(pool.siteId)
  const source = (window: FillWindow, litres: number, whole: number): RelaxedSource[] => {
    const days = fillDays.filter((day) => window.first <= day && day <= window.last)
    if (days.length === 0) return []
    const fit = days[0]! + pack.conditioningDays
    return [{ fit, keeps: days.at(-1)! + pack.shelfLifeDays, whole, takes: drawn, taken: takenOf(litres) }]
  }
  return [
    ...kept.flatMap(({ litres, used, standing }) => source(standingWindow(standing, instance.at, pack), litres, used)),
    ...brewed.flatMap(({ litres, batches, readyFrom, readyTo }) =>
      source(brewWindow(pool.beer, pack, { from: readyFrom, to: readyTo }), litres, batches),
    ),
  ]
}

/** What one demand takes of its sources at a site is there when it is dispatched. */
function addDemand(
  { rows, buckets }: RelaxationContext,
  { quantity }: Demand,
  ways: readonly { column: number; way: DeliveryWay }[],
  sources: readonly RelaxedSource[],
): void {
  const serves = ({ fit, keeps }: RelaxedSource, way: DeliveryWay) =>
    !way.route || (fit <= buckets.last(way.bucket) && way.keepsTo <= keeps)
  const takes = sources
    .filter((source) => ways.some(({ way }) => serves(source, way)))
    .map((source) => {
      const column = rows.column({ upper: quantity })
      source.taken.push([column, source.takes])
      if (source.whole !== undefined)
        rows.atMost(
          [
            [column, 1],
            [source.whole, -quantity],
          ],
          0,
        )
      return { source, column }
    })
  const columns = (some: readonly { column: number }[]) => some.map(({ column }) => column)
  rows.equal([...each(columns(takes)), ...each(columns(ways), -1)], 0)
  // What leaves by the end of a bucket was fit by then.
  for (const bucket of new Set(ways.flatMap(({ way }) => (way.route ? [way.bucket] : [])))) {
    const gone = ways.filter(({ way }) => way.route && way.bucket <= bucket)
    const fit = takes.filter(({ source }) => source.fit <= buckets.last(bucket))
    if (fit.length < takes.length) rows.atMost([...each(columns(gone)), ...each(columns(fit), -1)], 0)
  }
}
