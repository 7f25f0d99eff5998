// What is left of plans after a fortnight: the plan in force, the one that it started from, and what is younger.
import { expect, test } from 'vitest'
import { SetClock } from '../../../src/clock.ts'
import { claimOnce } from '../../../src/database/once.ts'
import { enqueue } from '../../../src/jobs/enqueue.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { adoptPlan } from '../../../src/resolvers/plans/adopt-plan.ts'
import { discardPlan } from '../../../src/resolvers/plans/discard-plan.ts'
import { draftPlan } from '../../../src/resolvers/plans/draft-plan.ts'
import { KEPT_DAYS, PRUNE_PLANS } from '../../../src/resolvers/plans/prune-plans.ts'
import { testJobs } from '../../support/jobs.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, clock, actor, faults, stored } = await openPlannedDemo()
const { distributorId } = actor
const begun = clock.now()
const after = (days: number) => new Date(begun.getTime() + days * 24 * 3_600_000)

async function drafted(): Promise<string> {
  const { id } = await draftPlan(actor, { effort: { steps: 0 } })
  await actor.jobs.settled()
  return id
}
const ref = (id: string) => ({ id: encodeGlobalId('Plan', id) })
const adopted = async () => {
  const id = await drafted()
  await adoptPlan(actor, { ...ref(id), acceptBrokenPromises: { all: true } })
  return id
}
/** Prunes as if it were `days` after the beginning. */
async function pruned(days: number): Promise<string[]> {
  const later = new SetClock(after(days))
  const jobs = testJobs({ ...actor, clock: later })
  await client.$transaction((tx) => enqueue({ tx, clock: later }, distributorId, PRUNE_PLANS, {}))
  jobs.wake()
  await jobs.settled()
  expect(faults).toEqual([])
  return (await client.plan.findMany({ where: { distributorId } })).map(({ id }) => id).sort()
}

test('drafts that were not adopted and past plans go after 14 days; what the plan in force started from stays', async () => {
  const first = (await client.plan.findFirstOrThrow({ where: { distributorId, status: 'IN_FORCE' } })).id
  const second = await adopted()
  const third = await adopted()
  const inForce = await adopted()
  const draft = await drafted()
  const discarded = await drafted()
  await discardPlan(actor, ref(discarded))
  clock.set(after(1))
  const younger = await drafted()
  const all = [first, second, third, inForce, draft, discarded, younger].sort()
  const before = (await stored()).plan

  expect(await pruned(KEPT_DAYS)).toEqual(all)
  expect(await pruned(KEPT_DAYS + 0.5)).toEqual([third, inForce, younger].sort())
  const row = await client.plan.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id: inForce } } })
  expect(row).toMatchObject({ status: 'IN_FORCE', baselineId: third })
  expect((await stored()).plan).toEqual(before)
  expect(await client.changeLogEntry.count({ where: { distributorId, entityId: second } })).toBeGreaterThan(0)
  // Jobs that ended as long ago are forgotten too; those of the younger draft and of the pruning itself are not.
  expect(await client.job.count({ where: { finishedAt: { lt: after(0.5) } } })).toBe(0)
  expect(await client.job.count({ where: { key: younger } })).toBe(1)
})

test('the records of other distributors stay as they are', async () => {
  await client.distributor.create({ data: { id: 'other', name: 'Other', timeZone: 'Europe/London' } })
  const plan = await client.plan.findFirstOrThrow({ where: { distributorId, status: 'IN_FORCE' } })
  const { status, fromRevision, today, horizonDays, frozenDays, seed, createdAt } = plan
  const bare = { fromRevision, today, horizonDays, frozenDays, seed, createdAt, costs: {} }
  expect(status).toBe('IN_FORCE')
  await client.plan.create({ data: { ...bare, distributorId: 'other', id: 'old', status: 'DISCARDED' } })
  await pruned(100)
  expect(await client.plan.count({ where: { distributorId: 'other' } })).toBe(1)
})

test('the answer to a request with an idempotency key is given again for 7 days, and then forgotten', async () => {
  const request = { distributorId, key: 'key of a test', payloadHash: 'a'.repeat(64) }
  const claimed = await claimOnce(client, after(20), request)
  if (typeof claimed === 'string') throw new Error('it was asked before')
  await claimed.answered(client, 'as it was')
  await pruned(27)
  expect(await claimOnce(client, after(27), request)).toBe('as it was')
  await pruned(27.5)
  expect(await claimOnce(client, after(27.5), request)).not.toBe('as it was')
})
