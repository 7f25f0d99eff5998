// The relaxation's bright vessels: litres against their capacity, and beers against their number, for beers do not mix
// (V3, V6).
import type { Vessel } from '../documents/problem.ts'
import type { BeerColumns } from './beer-columns.ts'
import { each, type Term } from './linear-model.ts'
import type { RelaxationContext } from './relaxation-context.ts'
import { capacityOn, isInService } from './relaxed-vessels.ts'
import { TOLERANCE_LITRES } from './supply.ts'

/** Adds the bright vessels of a site; with `whole`, those that hold a beer are counted in whole numbers. */
export function addBrights(
  context: RelaxationContext,
  siteId: string,
  { beers, whole }: { beers: readonly BeerColumns[]; whole: boolean },
): void {
  const { rows, buckets, instance } = context
  const { batches, vessels } = instance.problem
  const brights = vessels.filter((vessel) => vessel.siteId === siteId && vessel.kind === 'BRIGHT')
  if (brights.length === 0) return
  const standingIn = (vessel: Vessel) => batches.find(({ vesselId }) => vesselId === vessel.id)
  const largest =
    Math.max(...brights.map((vessel) => Math.max(vessel.capacityLitres, standingIn(vessel)?.litres ?? 0))) +
    TOLERANCE_LITRES
  /** Vessels that hold beer at the end of each bucket. */
  const holding: number[][] = []
  for (let bucket = 0; bucket < buckets.count; bucket++) {
    const day = buckets.last(bucket)
    const litres = beers.map((beer) => standingAt(context, beer, bucket))
    rows.atMost(each(litres.flat()), capacityOn(context, brights, day))
    const open = brights.filter((vessel) => isInService(context, vessel, day) || standingIn(vessel))
    const counts = litres
      .filter((some) => some.length > 0)
      .map((some) => {
        const vesselCount = rows.column({ upper: brights.length, whole })
        rows.atMost([...each(some), [vesselCount, -largest]], 0)
        return vesselCount
      })
    holding.push(counts)
    rows.atMost(each(counts), open.length)
  }
  if (buckets.width === 1) addTurnarounds(context, brights, beers, holding)
}

/**
 * What holds beer at the end of a day is not entered on the next, nor on the days of its turnaround after that; a vessel
 * is entered once in so many days.
 */
function addTurnarounds(
  { rows, instance }: RelaxationContext,
  brights: readonly Vessel[],
  beers: readonly BeerColumns[],
  holding: readonly number[][],
): void {
  const turnaround = Math.min(...brights.map((vessel) => vessel.turnaroundDays))
  const held = brights.filter(({ id }) => instance.problem.batches.some(({ vesselId }) => vesselId === id)).length
  for (let day = 0; day < instance.horizon; day++) {
    const entered = beers.flatMap(({ moved }) =>
      moved.filter(({ bucket }) => day <= bucket && bucket <= day + turnaround).map(({ transfers }) => transfers),
    )
    // All that stand today hold their vessels until today.
    const before: Term[] = day > 0 ? each(holding[day - 1]!) : []
    rows.atMost([...each(entered), ...before], brights.length - (day > 0 ? 0 : held))
  }
}

/** Litres of a beer in bright vessels at the end of a bucket, ready to be drawn or not yet. */
function standingAt({ buckets }: RelaxationContext, { ready, moved, kept }: BeerColumns, bucket: number): number[] {
  const waiting = moved.filter((one) => one.bucket <= bucket && buckets.of(one.readyFrom) > bucket)
  const young = kept.filter(({ standing, readyFrom }) => standing.bright && buckets.of(readyFrom) > bucket)
  const held = ready.BRIGHT[bucket]
  return [...(held === undefined ? [] : [held]), ...[...waiting, ...young].map(({ litres }) => litres)]
}
