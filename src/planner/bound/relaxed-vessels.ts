// The relaxation's space: litres in fermenters and in bright vessels against the capacity in service, batches against the
// number of vessels, brews against the brewhouse (V1, V3).
import { mostBrews } from '../documents/day-limits.ts'
import type { Vessel } from '../documents/problem.ts'
import { type BeerColumns, type Brewed, drawableShare, mostStanding } from './beer-columns.ts'
import { each, type Term } from './linear-model.ts'
import type { RelaxationContext } from './relaxation-context.ts'
import { TOLERANCE_LITRES } from './supply.ts'

/** V1: brews of a bucket against the brews of its brew days. */
export function addBrewhouse(
  { rows, instance, buckets }: RelaxationContext,
  siteId: string,
  beers: readonly BeerColumns[],
): void {
  const { site, brewDays } = instance.site(siteId)
  for (const [bucket, days] of buckets.split(brewDays).entries()) {
    const terms = beers.flatMap(({ brewed }) =>
      brewed.filter((one) => one.bucket === bucket).map(({ brews }): Term => [brews, 1]),
    )
    rows.atMost(
      terms,
      days.reduce((sum, day) => sum + mostBrews(site, instance.dateOf(day)), 0),
    )
  }
}

/** V3: what stands at the end of each bucket against the vessels. */
export function addVessels(context: RelaxationContext, siteId: string, beers: readonly BeerColumns[]): void {
  const { rows, instance, buckets } = context
  const vessels = instance.problem.vessels.filter((vessel) => vessel.siteId === siteId)
  const groups = groupsOf(
    vessels.filter(({ kind }) => kind === 'FERMENTER'),
    beers,
  )
  for (let bucket = 0; bucket < buckets.count; bucket++) {
    const day = buckets.last(bucket)
    const space = new Map(beers.map((beer) => [beer, addFermenting(context, beer, bucket)]))
    for (const group of groups) {
      rows.atMost(each(group.members.map((beer) => space.get(beer)!)), capacityOn(context, group.vessels, day))
      const free = group.vessels.filter((vessel) => isFree(context, vessel, day))
      const batches = group.members.flatMap((beer) => takenBy(beer, bucket, day).map((one) => one.batches))
      const kept = group.members.flatMap((beer) => keptIn(context, beer, free, day))
      rows.atMost(each([...batches, ...kept]), free.length)
    }
  }
}

/** Beers that share vessels: all of a site; and those that may only go into a part of its fermenters, with that part. */
function groupsOf(
  fermenters: readonly Vessel[],
  beers: readonly BeerColumns[],
): { members: BeerColumns[]; vessels: Vessel[] }[] {
  const groups = new Map<string, { members: BeerColumns[]; vessels: Vessel[] }>()
  const parts = beers.flatMap(({ pool }) => (pool.brewable ? [pool.brewable.fermenters] : []))
  for (const part of [fermenters, ...parts]) {
    const ids = new Set(part.map(({ id }) => id))
    const members = beers.filter(({ pool }) => pool.brewable?.fermenters.every(({ id }) => ids.has(id)) ?? true)
    // Beer that stands already may be where it could not be brewed.
    for (const { pool } of members) for (const { batch } of pool.standing) ids.add(batch.vesselId)
    groups.set(JSON.stringify([...ids].sort()), { members, vessels: fermenters.filter(({ id }) => ids.has(id)) })
  }
  return [...groups.values()]
}

/** Litres of a beer in fermenters at the end of a bucket, and of batches that hold their vessel for certain: all of them. */
function addFermenting({ rows, instance, buckets }: RelaxationContext, beer: BeerColumns, bucket: number): number {
  const { pool, brewed, kept, ready } = beer
  const day = buckets.last(bucket)
  const space = rows.column({ upper: 2 * mostStanding(instance, pool) })
  const taken = takenBy(beer, bucket, day)
  if (taken.length > 0) rows.atMost([[space, -1], ...each(taken.map(({ litres }) => litres))], 0)
  const share = drawableShare(instance, pool)
  const held = ready.FERMENTER[bucket]
  const unready = <Beer extends { readyFrom: number }>(all: readonly Beer[]) =>
    all.filter(({ readyFrom }) => buckets.of(readyFrom) > bucket)
  rows.atMost(
    [
      [space, -1],
      ...each(held === undefined ? [] : [held]),
      ...unready(brewed.filter((one) => one.bucket <= bucket)).map(({ litres }): Term => [litres, share]),
      ...unready(kept.filter(({ standing }) => !standing.bright)).map(({ litres }): Term => [litres, 1]),
      ...taken.map(({ litres }): Term => [litres, Math.max(0, 1 - share)]),
    ],
    0,
  )
  return space
}

/** What is brewed up to a bucket and takes up its vessels on its last day for certain. */
function takenBy({ brewed }: BeerColumns, bucket: number, day: number): Brewed[] {
  return brewed.filter((one) => one.bucket <= bucket && one.takenTo >= day)
}

/** Standing batches that, where they are used at all, are not drawn yet or leave their vessel too late to be free on a day. */
function keptIn(
  { instance }: RelaxationContext,
  { kept }: BeerColumns,
  vessels: readonly Vessel[],
  day: number,
): number[] {
  return kept.flatMap(({ used, standing }) => {
    const vessel = vessels.find(({ id }) => id === standing.batch.vesselId)
    if (!vessel) return []
    const { fillDays } = instance.site(vessel.siteId)
    const drawn = fillDays.find((one) => one >= standing.drawFrom) ?? Number.POSITIVE_INFINITY
    return day <= drawn + vessel.turnaroundDays ? [used] : []
  })
}

/** Litres that vessels can hold on a day: their capacity while in service, what stands in them today in any case. */
export function capacityOn(context: RelaxationContext, vessels: readonly Vessel[], day: number): number {
  const { batches } = context.instance.problem
  return vessels.reduce((sum, vessel) => {
    const standing = batches.find(({ vesselId }) => vesselId === vessel.id)?.litres ?? 0
    const capacity = isInService(context, vessel, day) ? vessel.capacityLitres : 0
    return sum + Math.max(capacity, standing) + TOLERANCE_LITRES
  }, 0)
}

/** V3: whether beer of the plan may stand in a vessel on a day. */
export function isInService({ instance }: RelaxationContext, vessel: Vessel, day: number): boolean {
  if (vessel.availableFrom !== undefined && day < instance.at(vessel.availableFrom)) return false
  return !vessel.outOfService.some((out) => instance.at(out.from) <= day && day <= instance.at(out.to))
}

/** Whether a batch of the plan can stand in a vessel on a day: one that stands there today is emptied today at the earliest. */
function isFree(context: RelaxationContext, vessel: Vessel, day: number): boolean {
  const { batches } = context.instance.problem
  const held = batches.some(({ vesselId }) => vesselId === vessel.id)
  return isInService(context, vessel, day) && !(held && day <= vessel.turnaroundDays)
}
