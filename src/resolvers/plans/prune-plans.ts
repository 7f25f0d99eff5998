// Plans that are not wanted any more go each night: drafts that were not adopted, and past plans. The change log keeps what was
// done; offers and promises are held to the plan in force, which stays, with the plan that it started from.
import { z } from 'zod'
import { daysAgo } from '../../clock.ts'
import { withDistributorLock } from '../../database/distributor-lock.ts'
import { jobKind } from '../../jobs/job-kind.ts'
import type { PlannerServices } from './planner-services.ts'

/** Days for which a draft is kept from when it was asked for, and a past plan from when another took its place. */
export const KEPT_DAYS = 14

/** Days for which the answer to a request with an `Idempotency-Key` is kept. */
const KEPT_ANSWER_DAYS = 7

/** Plans that go at once: writers wait meanwhile. */
const AT_ONCE = 10

/** Done each night; also forgets jobs that ended as long ago, and answers to requests that ran once. */
export const PRUNE_PLANS = jobKind<object, PlannerServices>({
  name: 'PRUNE_PLANS',
  lane: 'QUICK',
  payload: z.strictObject({}),
  daily: '02:30',
  run: async ({ distributorId, signal }, _, services) => {
    const before = daysAgo(services.clock, KEPT_DAYS)
    while (await pruneSome(services, distributorId, before)) signal.throwIfAborted()
    return async (tx) => {
      const kept = daysAgo(services.clock, KEPT_ANSWER_DAYS)
      await tx.idempotencyKey.deleteMany({ where: { distributorId, createdAt: { lt: kept } } })
      await tx.job.deleteMany({ where: { distributorId, finishedAt: { lt: before } } })
    }
  },
})

/** Deletes some of the plans that are older; whether there were any. */
async function pruneSome(services: PlannerServices, distributorId: string, before: Date): Promise<boolean> {
  // Behind the lock: nothing is adopted meanwhile.
  const { result } = await withDistributorLock(services, distributorId, async ({ tx }) => {
    const inForce = await tx.plan.findFirst({
      where: { distributorId, status: 'IN_FORCE' },
      select: { baselineId: true },
    })
    const old = await tx.plan.findMany({
      where: {
        distributorId,
        OR: [
          { status: { in: ['DRAFT', 'FAILED', 'DISCARDED'] }, createdAt: { lt: before } },
          { status: 'PAST', replacedAt: { lt: before } },
        ],
        ...(inForce?.baselineId ? { id: { not: inForce.baselineId } } : {}),
      },
      orderBy: { createdAt: 'asc' },
      take: AT_ONCE,
      select: { id: true },
    })
    const ids = old.map(({ id }) => id)
    if (ids.length === 0) return false
    await tx.plan.updateMany({ where: { distributorId, baselineId: { in: ids } }, data: { baselineId: null } })
    await tx.plan.deleteMany({ where: { distributorId, id: { in: ids } } })
    return true
  })
  return result
}
