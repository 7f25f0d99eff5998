// How cheap a plan of the same problem can be at best. A draft is stored with its bound; a plan that an order was placed
// into has none until it is asked for here.
import { LRUCache } from 'lru-cache'
import { dayOf } from '../../database/calendar-day.ts'
import type { PrismaClient } from '../../database/client.ts'
import { withDistributorLock } from '../../database/distributor-lock.ts'
import { isSameVersion } from '../../database/version.ts'
import { costsShape } from '../../planner/documents/index.ts'
import { type BoundKind, gapOf, parseProblem } from '../../planner/index.ts'
import { loadProblem } from '../../records/load-problem.ts'
import { boundOnThread } from '../../solver/bound-on-thread.ts'
import { boundKindShape } from '../../solver/progress.ts'
import type { PlanningActor } from '../planning-actor.ts'

export interface PlanBound {
  /** Null: it is being found. */
  lowerBound: number | null
  boundKind: BoundKind | 'PENDING'
  gap: number | null
}

/** It is being found; a request in a moment gets it. */
const PENDING: PlanBound = { lowerBound: null, boundKind: 'PENDING', gap: null }

/** Bounds that are being found, and those that there are none of, by plan and version. */
const looking = new WeakMap<PrismaClient, LRUCache<string, Looked>>()
/** Most that are remembered; each takes some hundred bytes. */
const MOST_REMEMBERED = 200
type Looked = { bound: PlanBound | null }

/**
 * The bound of a plan; null where it is not solved, or where the records have changed so that it is no plan of theirs any
 * more. One that is not stored is `PENDING` and found by the instant bound, on a thread of its own, after this has answered; it
 * is stored if nothing changed meanwhile.
 */
export async function planBound(actor: PlanningActor, planId: string): Promise<PlanBound | null> {
  const { client, distributorId, jobs, onFault } = actor
  const row = await client.plan.findUnique({ where: { distributorId_id: { distributorId, id: planId } } })
  if (!row || row.costTotal === null) return null
  if (row.lowerBound !== null) return stored(row)
  const { revision, epoch } = await client.distributor.findUniqueOrThrow({
    where: { id: distributorId },
    select: { revision: true, epoch: true },
  })
  const known = looking.get(client) ?? new LRUCache<string, Looked>({ max: MOST_REMEMBERED })
  looking.set(client, known)
  const key = JSON.stringify([distributorId, planId, revision, epoch])
  const found = known.get(key)
  if (found) return found.bound
  known.set(key, { bound: PENDING })
  jobs.beside(
    async () => {
      if ((await find(actor, planId)) === null) known.set(key, { bound: null })
      else known.delete(key)
    },
    (error) => {
      known.set(key, { bound: null })
      onFault(error, planId)
    },
  )
  return PENDING
}

/** Finds the bound of a plan that has none stored, and stores it; null where it is no plan of the records as they are now. */
async function find(actor: PlanningActor, planId: string): Promise<PlanBound | null> {
  const { client, clock, distributorId } = actor
  const where = { distributorId_id: { distributorId, id: planId } }
  const read = await client.$transaction(
    async (tx) => {
      const row = await tx.plan.findUnique({ where })
      if (!row || row.costTotal === null) return null
      const loaded = await loadProblem(tx, distributorId, {
        today: dayOf(row.today),
        at: clock.now(),
        horizonDays: row.horizonDays,
        frozenDays: row.frozenDays,
        costs: costsShape.parse(row.costs),
      })
      return { costTotal: row.costTotal, ...loaded }
    },
    { isolationLevel: 'RepeatableRead' },
  )
  if (!read) return null
  const { costTotal, problem } = read
  if (!parseProblem(problem).ok) return null
  const { value, kind } = await boundOnThread(problem, 0)
  if (value > costTotal) return null
  const bound = { lowerBound: value, boundKind: kind, gap: gapOf(costTotal, value) }
  await withDistributorLock(actor, distributorId, async (locked) => {
    if (isSameVersion(locked, read)) await locked.tx.plan.update({ where, data: bound })
  })
  return bound
}

function stored(row: { lowerBound: number | null; boundKind: string | null; gap: number | null }): PlanBound | null {
  const { lowerBound, gap } = row
  return lowerBound === null || gap === null
    ? null
    : { lowerBound, gap, boundKind: boundKindShape.parse(row.boundKind) }
}
