// The relaxation's clean containers (C1) and stores (S1), balanced at the end of each bucket of days.
import type { Fleet, Store } from '../documents/problem.ts'
import type { Term } from './linear-model.ts'
import type { PackPool, RelaxationContext } from './relaxation-context.ts'
import { TOLERANCE_LITRES } from './supply.ts'

/** A stock lot with the column of what deliveries take of it, where they can take anything. */
interface Lot {
  siteId: string
  typeId: string
  nominal: number
  conditionIn: 'COLD' | 'WARM'
  quantity: number
  fit: number
  bestBefore: number
  taken: number | undefined
}

/** Adds the fleets and the stores. */
export function addSpace(context: RelaxationContext, packs: readonly PackPool[]): void {
  const { problem } = context.instance
  const lots = readLots(context, packs)
  for (const fleet of problem.fleets) addFleet(context, fleet, packs, lots)
  for (const store of problem.stores) addStore(context, store, packs, lots)
}

function readLots({ instance }: RelaxationContext, packs: readonly PackPool[]): Lot[] {
  const taken = new Map(packs.flatMap(({ lots }) => lots.map(({ lotId, column }) => [lotId, column] as const)))
  return instance.problem.stock.map((lot) => {
    const { pack, type, nominal } = instance.pack(lot.packId)
    return {
      siteId: lot.siteId,
      typeId: type.id,
      nominal,
      conditionIn: pack.conditionIn,
      quantity: lot.quantity,
      fit: Math.max(0, instance.at(lot.readyOn)),
      bestBefore: instance.at(lot.bestBefore),
      taken: taken.get(lot.id),
    }
  })
}

/** C1: clean containers at the end of each bucket, with whatever can be back by then. */
function addFleet(
  { rows, instance, buckets }: RelaxationContext,
  fleet: Fleet,
  packs: readonly PackPool[],
  lots: readonly Lot[],
): void {
  const mine = packs.filter(({ siteId, facts }) => siteId === fleet.siteId && facts.type.id === fleet.containerTypeId)
  if (mine.every(({ fills }) => fills.length === 0)) return
  const washDays = fleet.washDays
  const used = Array.from({ length: buckets.count }, (): Term[] => [])
  const given = new Float64Array(buckets.count)
  given[0] = fleet.cleanNow
  let most = fleet.cleanNow
  /** What is emptied or returned on a day; what would be clean by today is in `cleanNow`. */
  const back = (day: number, quantity: number, column?: number) => {
    const bucket = buckets.of(day + washDays)
    if (!(day + washDays > 0) || bucket >= buckets.count) return
    if (column !== undefined) used[bucket]!.push([column, -1])
    else given[bucket]! += quantity
    most += quantity
  }
  for (const { on, quantity } of fleet.returns) back(instance.at(on), quantity)
  for (const { siteId, typeId, bestBefore, quantity, taken } of lots) {
    if (siteId !== fleet.siteId || typeId !== fleet.containerTypeId || bestBefore > instance.horizon - 2) continue
    const emptied = Math.max(0, bestBefore + 1)
    const bucket = buckets.of(emptied + washDays)
    back(emptied, quantity)
    if (taken !== undefined && emptied + washDays > 0 && bucket < buckets.count) used[bucket]!.push([taken, 1])
  }
  for (const { fills, ways, ordered } of mine) {
    for (const { column, filledIn } of fills) used[filledIn]!.push([column, 1])
    for (const { column, way } of ways) back(way.backOn, 0, column)
    most += ordered
  }
  let before: Term[] = []
  for (let bucket = 0; bucket < buckets.count; bucket++) {
    const clean = rows.column({ upper: most })
    rows.equal([[clean, 1], ...before, ...used[bucket]!], given[bucket]!)
    before = [[clean, -1]]
  }
}

/** S1 on the last day of each bucket: what stands there for certain fits, unless the stock of today alone may not. */
function addStore(
  { rows, buckets }: RelaxationContext,
  store: Store,
  packs: readonly PackPool[],
  lots: readonly Lot[],
): void {
  const here = packs.filter(({ siteId }) => siteId === store.siteId)
  const stock = lots.filter(({ siteId }) => siteId === store.siteId)
  for (let bucket = 0; bucket < buckets.count; bucket++) {
    const day = buckets.last(bucket)
    const terms: Term[] = here.flatMap((pack) => standing(pack, store.climate, bucket, day))
    let capacity = store.capacityLitres + TOLERANCE_LITRES
    const climateOf = (lot: Lot) => (day < lot.fit ? lot.conditionIn : 'COLD')
    const inside = stock.filter((lot) => climateOf(lot) === store.climate)
    const most = inside.reduce((sum, { quantity, nominal }) => sum + quantity * nominal, 0)
    if (most > store.capacityLitres) continue
    for (const { quantity, nominal, bestBefore, taken, fit } of inside) {
      if (bestBefore >= day) {
        capacity -= quantity * nominal
        if (taken !== undefined) terms.push([taken, -nominal])
      }
      // What deliveries take of a lot is in the pool from the day on which it is fit.
      if (taken !== undefined && fit > day) terms.push([taken, nominal])
    }
    rows.atMost(terms, capacity)
  }

  /** Litres of filled containers of a pack that stand in a climate for certain; negative parts make up for early counts. */
  function standing(
    { facts, fills, ways, fit }: PackPool,
    climate: Store['climate'],
    bucket: number,
    day: number,
  ): Term[] {
    const { nominal, pack } = facts
    const filled = fills.filter(({ filledIn }) => filledIn <= bucket)
    if (climate === 'WARM') {
      if (pack.conditionIn !== 'WARM') return []
      return filled.filter(({ fitFrom }) => fitFrom > day).map(({ column }) => [column, nominal])
    }
    // A pool holds what may be fit already; where that conditions in the warm, only what is fit for certain stands cold.
    const unsure =
      pack.conditionIn === 'WARM'
        ? filled
            .filter(({ fitFrom, fitTo }) => buckets.of(fitFrom) <= bucket && fitTo > day)
            .map(({ column }): Term => [column, -nominal])
        : filled.filter(({ fitFrom }) => buckets.of(fitFrom) > bucket).map(({ column }): Term => [column, nominal])
    const gone = ways
      .filter(({ way }) => !way.route && way.bucket <= bucket)
      .map(({ column }): Term => [column, -nominal])
    return [[fit[bucket]!, nominal], ...unsure, ...gone]
  }
}
