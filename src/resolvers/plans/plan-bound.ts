// How cheap a plan of the same problem can be at best. A draft is stored with its bound; a plan that an order was placed
// into has none until it is asked for here.
import { enqueue } from '../../jobs/enqueue.ts'
import type { BoundKind } from '../../planner/index.ts'
import { boundKindShape } from '../../solver/progress.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { BOUND_SECONDS, BOUNDED, boundKey, FIND_BOUND } from './find-bound.ts'
import { readUnavoidable, type UnavoidableCost } from './unavoidable-cost.ts'

export interface PlanBound {
  /** Null: it is being found. */
  lowerBound: number | null
  boundKind: BoundKind | 'PENDING'
  gap: number | null
  /** What explains the bound. Null: it is being found, or was stored by a version that explained none. */
  unavoidable: UnavoidableCost | null
}

/** It is being found; a request in a moment gets it. */
const PENDING: PlanBound = { lowerBound: null, boundKind: 'PENDING', gap: null, unavoidable: null }

/** Kinds of bounds that were looked for as long as it pays: all others of a plan in force are made better in the background. */
const FOUND_WELL: readonly string[] = ['AGGREGATED_WHOLE_BREWS', 'DAY_BY_DAY', 'EXACT'] satisfies BoundKind[]

/**
 * The bound of a plan; null where it is not solved, is past, or where the records have changed so that it is no plan of theirs
 * any more. One of the plan in force or of a draft that is not stored is `PENDING`, and found by a job once for each revision: one at a
 * time for each plan, so that records that move on again and again begin no more than one whose result is of use. The plan in force may
 * have come with a bound that was found in little time: it is answered, and the job looks for a better one.
 */
export async function planBound(actor: PlanningActor, planId: string): Promise<PlanBound | null> {
  const { client, distributorId } = actor
  const row = await client.plan.findUnique({ where: { distributorId_id: { distributorId, id: planId } } })
  if (!row || row.costTotal === null) return null
  const known = stored({ ...row, costTotal: row.costTotal })
  const isWanted = known
    ? row.status === 'IN_FORCE' && !FOUND_WELL.includes(known.boundKind)
    : BOUNDED.some((status) => status === row.status)
  const search = isWanted ? await searchFor(actor, planId) : 'ENDED'
  return known ?? (search === 'BEGUN' ? PENDING : null)
}

/** Begins the search for a bound, unless one has begun for the plan at this revision or is under way; says whether it has ended. */
async function searchFor(
  { client, clock, distributorId, jobs }: PlanningActor,
  planId: string,
): Promise<'BEGUN' | 'ENDED'> {
  const { revision } = await client.distributor.findUniqueOrThrow({ where: { id: distributorId } })
  const key = boundKey(planId, revision)
  const begun = await client.job.findMany({
    where: {
      ...{ distributorId, kind: FIND_BOUND.name },
      OR: [{ key }, { key: { startsWith: boundKey(planId, '') }, state: { in: ['WAITING', 'RUNNING'] } }],
    },
    select: { state: true },
  })
  if (begun.some(({ state }) => state === 'WAITING' || state === 'RUNNING')) return 'BEGUN'
  if (begun.length > 0) return 'ENDED'
  const payload = { planId, revision }
  await client.$transaction((tx) =>
    enqueue({ tx, clock }, distributorId, FIND_BOUND, payload, { key, seconds: BOUND_SECONDS }),
  )
  jobs.wake()
  return 'BEGUN'
}

interface StoredBound {
  costTotal: number
  lowerBound: number | null
  boundKind: string | null
  gap: number | null
  unavoidable: unknown
}

function stored({ costTotal, lowerBound, boundKind, gap, unavoidable }: StoredBound): PlanBound | null {
  if (lowerBound === null || gap === null) return null
  const explained = readUnavoidable(unavoidable, { costTotal, lowerBound })
  return { lowerBound, gap, boundKind: boundKindShape.parse(boundKind), unavoidable: explained }
}
