// The relaxation's columns of one beer at one site, shared by its balances and by the space that it takes up.
import type { Instance } from './instance.ts'
import { BATCH_TOLERANCE_LITRES, type BeerPool, type StandingBeer } from './supply.ts'

/** Litres brewed in one bucket; days are those that are most favourable to a plan. */
export interface Brewed {
  bucket: number
  litres: number
  batches: number
  brews: number
  /** Days on which the first and the last of it may be ready, day by which the last of it must be drawn. */
  readyFrom: number
  readyTo: number
  drawBy: number
  /** Last day on which it takes up its vessels for certain, turnaround included. */
  takenTo: number
}

/** Litres of a standing batch that are not lost at once. */
export interface Kept {
  litres: number
  /** 1 where any of it is drawn, 0 where all is lost. */
  used: number
  readyFrom: number
  drawBy: number
  standing: StandingBeer
}

/** One beer at one site: its columns, all in litres. */
export interface BeerColumns {
  pool: BeerPool
  brewed: Brewed[]
  kept: Kept[]
  /** What may be drawn at the end of each bucket, by the kind of vessel that it is in. */
  ready: { FERMENTER: number[]; BRIGHT: number[] }
  /** What is transferred in a bucket, in how many transfers, the day from which it may be drawn and that of V5. */
  moved: { bucket: number; litres: number; transfers: number; readyFrom: number; drawBy: number }[]
}

/** Most litres of a beer that stand at a site at once, with room to spare. */
export function mostStanding({ problem }: Instance, { siteId, standing }: BeerPool): number {
  const vessels = problem.vessels.filter((vessel) => vessel.siteId === siteId)
  const space = vessels.reduce((sum, vessel) => sum + vessel.capacityLitres, 0)
  return 1.01 * (space + standing.reduce((sum, { batch }) => sum + batch.litres, 0)) + 1
}

/** Drawable litres of a brewed litre. */
export function drawableShare(instance: Instance, { beer, brewable }: BeerPool): number {
  const least = Math.min(...(brewable?.fermenters ?? []).map((vessel) => vessel.minFillLitres))
  // A batch that is worth brewing fills one container at least.
  const containers = beer.packs.map((pack) => instance.pack(pack.id).drawn)
  return (1 - beer.lossFraction) * forgiving(Math.max(least * (1 - beer.lossFraction), Math.min(...containers)))
}

/** How much more than its litres a batch may give. */
export function forgiving(litres: number): number {
  return 1 + BATCH_TOLERANCE_LITRES / Math.max(litres, 1)
}
