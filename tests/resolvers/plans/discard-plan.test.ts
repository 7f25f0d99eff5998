// A draft that is not wanted is discarded: it is stopped where it is being solved, and never comes into force.
import { afterEach, expect, test } from 'vitest'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { adoptPlan } from '../../../src/resolvers/plans/adopt-plan.ts'
import { discardPlan } from '../../../src/resolvers/plans/discard-plan.ts'
import { draftPlan } from '../../../src/resolvers/plans/draft-plan.ts'
import { planProgress } from '../../../src/resolvers/plans/plan-progress.ts'
import { testJobs } from '../../support/jobs.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, actor, faults } = await openPlannedDemo()
const { distributorId } = actor
const ref = (id: string) => ({ id: encodeGlobalId('Plan', id) })
const row = (id: string) => client.plan.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id } } })

afterEach(() => actor.jobs.settled())

test('a draft is discarded once: the log says so, it stays readable, and it cannot be adopted', async () => {
  const { id } = await draftPlan(actor, { effort: { steps: 0 } })
  await actor.jobs.settled()
  const { revision } = await discardPlan(actor, ref(id))
  const { status, costTotal } = await row(id)
  expect(status).toBe('DISCARDED')
  expect(costTotal).not.toBeNull()
  expect(await client.changeLogEntry.findMany({ where: { distributorId, revision } })).toMatchObject([
    { kind: 'PLAN_DISCARDED', entityType: 'Plan', entityId: id, before: { status: 'DRAFT' } },
  ])
  expect((await discardPlan(actor, ref(id))).revision).toBe(revision)
  await expect(adoptPlan(actor, ref(id))).rejects.toMatchObject({
    code: 'STATUS_FORBIDS',
    message: expect.stringMatching(/is discarded/),
  })
})

test('one that is being solved is stopped at once, one that waits never begins, and both free their places', async () => {
  const ids: string[] = []
  for (let count = 0; count < 6; count += 1) ids.push((await draftPlan(actor, { effort: { seconds: 300 } })).id)
  const begun = performance.now()
  for (const id of ids) await discardPlan(actor, ref(id))
  await actor.jobs.settled()
  expect(performance.now() - begun).toBeLessThan(60_000)
  for (const id of ids) expect(await row(id)).toMatchObject({ status: 'DISCARDED', failure: null, costTotal: null })
  const { id } = await draftPlan(actor, { effort: { steps: 0 } })
  await actor.jobs.settled()
  expect((await row(id)).status).toBe('DRAFT')
  expect(faults).toEqual([])
})

test('a draft that another server solves is stopped too, and its progress ends', async () => {
  const elsewhere = { ...actor, jobs: testJobs(actor, 1) }
  const { id } = await draftPlan(elsewhere, { effort: { seconds: 300 } })
  const progress = await planProgress(actor, ref(id).id)
  await progress.next()
  await discardPlan(actor, ref(id))
  await elsewhere.jobs.settled()
  for await (const _ of progress);
  expect(await row(id)).toMatchObject({ status: 'DISCARDED', failure: null, costTotal: null })
  expect(faults).toEqual([])
})

test('a plan in force or past, and what is no plan, cannot be discarded', async () => {
  const inForce = await client.plan.findFirstOrThrow({ where: { distributorId, status: 'IN_FORCE' } })
  const refused = { code: 'STATUS_FORBIDS', message: expect.stringMatching(/is in force/) }
  await expect(discardPlan(actor, ref(inForce.id))).rejects.toMatchObject(refused)
  const { id } = await draftPlan(actor, { effort: { steps: 0 } })
  await actor.jobs.settled()
  await adoptPlan(actor, { ...ref(id), acceptBrokenPromises: { all: true } })
  await expect(discardPlan(actor, ref(inForce.id))).rejects.toMatchObject({
    ...refused,
    message: expect.stringMatching(/is past/),
  })
  await expect(discardPlan(actor, { id: 'no plan' })).rejects.toMatchObject({ code: 'NO_SUCH_THING' })
})
