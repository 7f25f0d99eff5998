// How cheap a plan of the same problem can be at best. A draft is stored with its bound; a plan that an order was placed
// into has none until it is asked for here.
import { enqueue } from '../../jobs/enqueue.ts'
import type { BoundKind } from '../../planner/index.ts'
import { boundKindShape } from '../../solver/progress.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { BOUND_SECONDS, BOUNDED, boundKey, FIND_BOUND } from './find-bound.ts'

export interface PlanBound {
  /** Null: it is being found. */
  lowerBound: number | null
  boundKind: BoundKind | 'PENDING'
  gap: number | null
}

/** It is being found; a request in a moment gets it. */
const PENDING: PlanBound = { lowerBound: null, boundKind: 'PENDING', gap: null }

/**
 * The bound of a plan; null where it is not solved, is past, or where the records have changed so that it is no plan of theirs
 * any more. One of the plan in force or of a draft that is not stored is `PENDING`, and found by a job once for each revision: one at a
 * time for each plan, so that records that move on again and again begin no more than one whose result is of use.
 */
export async function planBound(actor: PlanningActor, planId: string): Promise<PlanBound | null> {
  const { client, clock, distributorId, jobs } = actor
  const row = await client.plan.findUnique({ where: { distributorId_id: { distributorId, id: planId } } })
  if (!row || row.costTotal === null) return null
  if (row.lowerBound !== null) return stored(row)
  if (!BOUNDED.some((status) => status === row.status)) return null
  const { revision } = await client.distributor.findUniqueOrThrow({ where: { id: distributorId } })
  const key = boundKey(planId, revision)
  const begun = await client.job.findMany({
    where: {
      ...{ distributorId, kind: FIND_BOUND.name },
      OR: [{ key }, { key: { startsWith: boundKey(planId, '') }, state: { in: ['WAITING', 'RUNNING'] } }],
    },
    select: { state: true },
  })
  if (begun.some(({ state }) => state === 'WAITING' || state === 'RUNNING')) return PENDING
  if (begun.length > 0) return null
  const payload = { planId, revision }
  await client.$transaction((tx) =>
    enqueue({ tx, clock }, distributorId, FIND_BOUND, payload, { key, seconds: BOUND_SECONDS }),
  )
  jobs.wake()
  return PENDING
}

function stored(row: { lowerBound: number | null; boundKind: string | null; gap: number | null }): PlanBound | null {
  const { lowerBound, gap } = row
  return lowerBound === null || gap === null
    ? null
    : { lowerBound, gap, boundKind: boundKindShape.parse(row.boundKind) }
}
