// Drafts, adoption and fixed decisions: every plan that is stored passes the checker, and a draft that no longer fits
// does not come into force.
import { setTimeout as wait } from 'node:timers/promises'
import { afterEach, expect, test } from 'vitest'
import { addDays, costsShape } from '../../../src/planner/documents/index.ts'
import { checkPlan } from '../../../src/planner/index.ts'
import { loadPlan } from '../../../src/records/load-plan.ts'
import { loadProblem } from '../../../src/records/load-problem.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { cancelOrder } from '../../../src/resolvers/orders/cancel-order.ts'
import { placeOrder } from '../../../src/resolvers/orders/place-order.ts'
import { adoptPlan } from '../../../src/resolvers/plans/adopt-plan.ts'
import { draftPlan } from '../../../src/resolvers/plans/draft-plan.ts'
import { fixInPlan, unfixInPlan } from '../../../src/resolvers/plans/fix-in-plan.ts'
import { decisionGlobalId } from '../../../src/resolvers/plans/plan-ref.ts'
import { promise } from '../../../src/resolvers/promise/promise.ts'
import { changeBatch } from '../../../src/resolvers/setup/batch.ts'
import { testJobs } from '../../support/jobs.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'
import { WHOLE } from '../../support/sampled.ts'

const { client, clock, actor, scenario, stored, expectValid, faults } = await openPlannedDemo()
const { distributorId } = actor
const { today } = scenario.problem
const account = { id: encodeGlobalId('Account', scenario.problem.accounts[0]?.id ?? '') }
const pack = { externalRef: 'MAR-KEG50' }
const serveOn = addDays(today, 12)
const planRef = (id: string) => ({ id: encodeGlobalId('Plan', id) })
const row = (id: string) => client.plan.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id } } })
const inForce = () => client.plan.findFirstOrThrow({ where: { distributorId, status: 'IN_FORCE' } })

afterEach(() => actor.jobs.settled())

/** A draft that is ready. */
async function ready(input: object = { effort: { steps: 20 } }): Promise<string> {
  const { id } = await draftPlan(actor, input)
  await actor.jobs.settled()
  return id
}

test('a draft is answered at once, solved in the background, and valid for the records that it was made from', async () => {
  const revision = (await stored()).revision
  const { id, revision: since } = await draftPlan(actor, { effort: { steps: 40 }, costs: { drop: 50 }, frozenDays: 3 })
  expect(since).toBe(revision)
  expect(await row(id)).toMatchObject({ status: 'SOLVING', costTotal: null, fromRevision: revision, frozenDays: 3 })
  await actor.jobs.settled()
  const solved = await row(id)
  expect(faults).toEqual([])
  expect(solved).toMatchObject({ status: 'DRAFT', steps: 40, seed: 1, baselineId: (await inForce()).id })
  expect(solved.costTotal).toBeGreaterThanOrEqual(solved.lowerBound ?? Number.POSITIVE_INFINITY)
  const costs = costsShape.parse(solved.costs)
  expect(costs.drop).toBe(50)
  const { problem } = await loadProblem(client, distributorId, { today, at: clock.now(), frozenDays: 3, costs })
  const plan = await loadPlan(client, distributorId, id)
  expect(checkPlan(problem, plan).violations).toEqual([])
})

test('the same records, seed and steps give the same plan', async () => {
  const [one, two] = [await ready(), await ready()]
  expect(await loadPlan(client, distributorId, one)).toEqual(await loadPlan(client, distributorId, two))
})

test.runIf(WHOLE)(
  'while a draft is being solved other questions are answered, and its progress can be seen',
  async () => {
    const { id } = await draftPlan(actor, { effort: { seconds: 2 } })
    const asked = { account, serveOn, lines: [{ pack, quantity: 1 }] }
    let answers = 0
    let slowest = 0
    let seen = false
    while ((await row(id)).status === 'SOLVING') {
      const begun = performance.now()
      await promise(actor, asked)
      slowest = Math.max(slowest, performance.now() - begun)
      answers += 1
      seen ||= (await row(id)).progress !== null
      await wait(20)
    }
    expect(answers).toBeGreaterThan(10)
    expect(slowest).toBeLessThan(2000)
    expect(seen).toBe(true)
    expect((await row(id)).status).toBe('DRAFT')
  },
)

test('a draft of records that stayed comes into force as it is; the other is past', async () => {
  const before = await inForce()
  const id = await ready()
  const draft = await loadPlan(client, distributorId, id)
  const { revision } = await adoptPlan(actor, planRef(id))
  expect((await inForce()).id).toBe(id)
  expect(await row(before.id)).toMatchObject({ status: 'PAST' })
  const { plan } = await stored()
  // What it moved, it moved in the plan that is past.
  expect(plan).toEqual({ ...draft, moved: [] })
  const entries = await client.changeLogEntry.findMany({ where: { distributorId, revision } })
  expect(entries).toMatchObject([{ kind: 'PLAN_ADOPTED', entityId: id, before: { id: before.id } }])
  await expect(adoptPlan(actor, planRef(id))).rejects.toMatchObject({ code: 'STATUS_FORBIDS' })
  await expect(adoptPlan(actor, { id: 'no plan' })).rejects.toMatchObject({ code: 'NO_SUCH_THING' })
})

test('orders that came and went meanwhile are brought into the draft, and what was promised is kept', async () => {
  const gone = await placeOrder(actor, { account, serveOn, accept: 'LATER', lines: [{ pack, quantity: 1 }] })
  const id = await ready()
  const asked = { account, serveOn: addDays(today, 14), accept: 'LATER' }
  const come = await placeOrder(actor, { ...asked, lines: [{ pack, quantity: 1 }] })
  await cancelOrder(actor, { order: { id: encodeGlobalId('Order', gone.id) } })
  await adoptPlan(actor, planRef(id))
  const { plan, problem } = await expectValid()
  const [line] = problem.orderLines.filter(({ orderId }) => orderId === come.id)
  const [delivery] = plan.deliveries.filter(({ orderLineId }) => orderLineId === line?.id)
  expect(line?.promisedOn).toBeDefined()
  expect(delivery?.serveOn && line?.promisedOn && delivery.serveOn <= line.promisedOn).toBe(true)
  expect(problem.orderLines.some(({ orderId }) => orderId === gone.id)).toBe(false)
})

test('a draft that no longer fits is refused with what changed, and the plan in force stays', async () => {
  const id = await ready()
  const draft = await loadPlan(client, distributorId, id)
  // The batch that most is served from: where little depends on one, the rest of the cellar makes up for it.
  const servedFrom = (batchId: string) => {
    const runs = new Set(draft.fillRuns.filter((run) => run.batchId === batchId).map((run) => run.id))
    const sources = draft.deliveries.flatMap(({ from }) => from)
    return sources.reduce((sum, { fillRunId, quantity }) => sum + (fillRunId && runs.has(fillRunId) ? quantity : 0), 0)
  }
  const { problem } = await stored()
  const [late] = problem.batches
    .filter(({ transferredOn }) => transferredOn === undefined)
    .sort((one, other) => servedFrom(other.id) - servedFrom(one.id))
  if (!late) throw new Error('something ferments')
  const batch = { id: encodeGlobalId('Batch', late.id) }
  const before = await inForce()
  await changeBatch(actor, { batch, readyAt: `${addDays(today, 20)}T16:00:00Z` })
  const refused = adoptPlan(actor, planRef(id))
  await expect(refused).rejects.toMatchObject({
    code: 'REVISION_MOVED',
    message: expect.stringMatching(/Batch ".+" was changed.*no longer fits/),
  })
  await expect(refused).rejects.toMatchObject({
    changes: expect.arrayContaining([
      {
        what: expect.stringMatching(/^Batch ".+": readyAt$/),
        before: expect.any(String),
        now: expect.stringContaining(addDays(today, 20)),
        event: 'BATCH_CHANGED',
        revision: expect.any(Number),
        entity: { type: 'Batch', ...batch },
      },
    ]),
    obstacles: expect.arrayContaining([
      expect.objectContaining({
        kind: 'LINE_NO_LONGER_FITS',
        rule: 'A3',
        orderLineId: expect.any(String),
        message: expect.stringMatching(/order line "\d+\/\d+" \(\d+ of pack ".+, .+" for/),
      }),
    ]),
  })
  expect((await inForce()).id).toBe(before.id)
  expect(await loadPlan(client, distributorId, id)).toEqual(draft)
  await changeBatch(actor, { batch, readyAt: late.readyAt })
})

test('a fixed decision stays where it is in the next plan, until it is let go', async () => {
  const { plan } = await expectValid()
  const planId = (await inForce()).id
  const brew = plan.brews.at(-1)
  if (!brew) throw new Error('the plan brews something')
  const named = { brew: decisionGlobalId('PlannedBrew', { planId, id: brew.id }) }
  const { revision } = await fixInPlan(actor, named)
  expect((await fixInPlan(actor, named)).revision).toBe(revision)
  const { plan: fixed } = await expectValid()
  expect(fixed.brews.find(({ id }) => id === brew.id)).toEqual({ ...brew, fixed: true })
  const next = await ready({ effort: { steps: 30 }, costs: { churn: 0 } })
  const drafted = await loadPlan(client, distributorId, next)
  expect(drafted.brews.find(({ id }) => id === brew.id)).toEqual({ ...brew, fixed: true })
  await unfixInPlan(actor, named)
  const unfixed = (await expectValid()).plan.brews.find(({ id }) => id === brew.id)
  expect(unfixed?.fixed ?? false).toBe(false)
})

test('a draft begun before a decision was fixed comes into force only if it leaves that decision as it is', async () => {
  const id = await ready()
  const { plan } = await stored()
  const planId = (await inForce()).id
  const run = plan.fillRuns.at(-1)
  if (!run) throw new Error('the plan fills something')
  await fixInPlan(actor, { fillRun: decisionGlobalId('FillRun', { planId, id: run.id }) })
  const adopted = await adoptPlan(actor, planRef(id)).then(
    () => true,
    () => false,
  )
  const now = (await expectValid()).plan
  if (adopted) expect(now.fillRuns.find((each) => each.id === run.id)).toEqual({ ...run, fixed: true })
})

test('what is not in the plan in force cannot be fixed', async () => {
  const draft = await ready()
  const plan = await loadPlan(client, distributorId, draft)
  const ofDraft = decisionGlobalId('PlannedBrew', { planId: draft, id: plan.brews[0]?.id ?? '' })
  await expect(fixInPlan(actor, { brew: ofDraft })).rejects.toMatchObject({ code: 'STATUS_FORBIDS' })
  await expect(fixInPlan(actor, { brew: 'nonsense' })).rejects.toMatchObject({ code: 'NO_SUCH_THING' })
  await expect(fixInPlan(actor, { brew: 'a', transfer: 'b' })).rejects.toMatchObject({ code: 'WRONG_TYPE' })
})

test.each([
  ['no effort at all', { effort: { seconds: -1 } }, 'effort.seconds', 'OUT_OF_RANGE'],
  ['an endless search', { effort: { seconds: 1e9 } }, 'effort.seconds', 'OUT_OF_RANGE'],
  ['a price below nothing', { costs: { late: -1 } }, 'costs.late', 'OUT_OF_RANGE'],
  ['frozen days below zero', { frozenDays: -1 }, 'frozenDays', 'OUT_OF_RANGE'],
])('%s is refused and no draft begins', async (_, input, path, code) => {
  const before = await client.plan.count()
  await expect(draftPlan(actor, input)).rejects.toMatchObject({ issues: [{ path, code }] })
  expect(await client.plan.count()).toBe(before)
})

test.runIf(WHOLE)('a server that stops gives its drafts back, and another one makes them', async () => {
  const jobs = testJobs(actor, 1)
  const { id } = await draftPlan({ ...actor, jobs }, { effort: { seconds: 2 } })
  const { id: second } = await draftPlan({ ...actor, jobs }, { effort: { seconds: 2 } })
  await jobs.stop()
  for (const each of [id, second]) expect(await row(each)).toMatchObject({ status: 'SOLVING' })
  actor.jobs.wake()
  await actor.jobs.settled()
  for (const each of [id, second]) expect(await row(each)).toMatchObject({ status: 'DRAFT', failure: null })
})

test('a draft whose servers ended each time that they solved it fails, and says why and what to do', async () => {
  const stopped = testJobs(actor, 1)
  await stopped.stop()
  const { id } = await draftPlan({ ...actor, jobs: stopped }, {})
  const leaseUntil = new Date('2020-01-01')
  const lost = { state: 'RUNNING', attempts: 2, leaseToken: 'of a server that ended', leaseUntil } as const
  await client.job.updateMany({ where: { key: id }, data: lost })
  actor.jobs.wake()
  await actor.jobs.settled()
  expect(await row(id)).toMatchObject({
    status: 'FAILED',
    failure: { message: expect.stringMatching(/ended before it was done.*Draft it again/) },
  })
})

test('a draft of yesterday is brought up to today, or refused with the day on which it was begun', async () => {
  const id = await ready()
  const before = await inForce()
  clock.set('2027-03-02T09:00:00Z')
  const outcome = await adoptPlan(actor, planRef(id)).then(
    () => 'adopted',
    (error: unknown) => error,
  )
  if (outcome === 'adopted') await expectValid()
  else {
    expect(outcome).toMatchObject({ code: 'REVISION_MOVED', message: expect.stringMatching(/begun on 2027-03-01/) })
    expect((await inForce()).id).toBe(before.id)
  }
})
