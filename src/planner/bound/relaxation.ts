// The aggregated relaxation of a problem: every valid plan is, bucket by bucket, a solution of it that costs no more.
import { makeBuckets } from './buckets.ts'
import { readDemands } from './demand.ts'
import type { Instance } from './instance.ts'
import { type LinearModel, ModelBuilder } from './linear-model.ts'
import type { BoundPart } from './parts.ts'
import { addCellar } from './relaxed-cellar.ts'
import { addPacking } from './relaxed-packing.ts'
import { addSources } from './relaxed-sources.ts'
import { addSpace } from './relaxed-space.ts'
import { readPools } from './supply.ts'

export interface RelaxationOptions {
  /** Batches and brews as whole numbers, and lines that are served as a whole or not: says more and takes longer. */
  wholeBrews: boolean
  /** Days of a bucket; chosen by the size of the problem unless given. */
  bucketDays?: number
  /** The least that are chosen: 1 unless given. */
  leastBucketDays?: number
}

/** The relaxation of a part as a model for a solver: linear, or with whole batches and brews. Pure. */
export function relaxationOf(
  { instance, supply, sharing, constant }: BoundPart,
  { wholeBrews, leastBucketDays = 1, bucketDays }: RelaxationOptions,
): LinearModel {
  const rows = new ModelBuilder()
  rows.addOffset(constant)
  const buckets = makeBuckets(instance.horizon, bucketDays ?? bucketDaysFor(instance, leastBucketDays))
  const context = { rows, instance, buckets }
  const demands = readDemands(instance, buckets, { sharing, wholeLines: wholeBrews })
  const { packs, served, draws } = addPacking(context, readPools(instance, supply), { demands, wholeBrews })
  addSpace(context, packs)
  const beers = addCellar(context, supply, draws, wholeBrews)
  addSources(context, { packs, served, beers })
  return rows.build()
}

/** The narrowest buckets with which the ways to deliver stay few enough to be solved in seconds. */
function bucketDaysFor(instance: Instance, least: number): number {
  for (const days of BUCKET_DAYS) {
    if (days < least) continue
    let ways = 0
    for (const { options } of instance.lines)
      ways += new Set(options.map(({ route, dispatchOn }) => `${route.id} ${Math.floor(dispatchOn / days)}`)).size
    if (ways <= MOST_WAYS) return days
  }
  return 28
}

const BUCKET_DAYS: readonly number[] = [1, 2, 3, 4, 7, 14]
const MOST_WAYS = 120_000
