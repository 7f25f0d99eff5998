// Adopting a draft that breaks promises which the plan in force keeps: refused with the lines, unless they are accepted.
import { beforeAll, expect, test } from 'vitest'
import type { Plan, Problem } from '../../../src/planner/documents/index.ts'
import { addDays } from '../../../src/planner/documents/index.ts'
import { encodeGlobalId } from '../../../src/resolvers/global-id.ts'
import { type PromiseNews, watchPromises } from '../../../src/resolvers/orders/watch-promises.ts'
import { adoptPlan } from '../../../src/resolvers/plans/adopt-plan.ts'
import { draftPlan } from '../../../src/resolvers/plans/draft-plan.ts'
import { changeBatch } from '../../../src/resolvers/setup/batch.ts'
import { openPlannedDemo } from '../../support/planned-demo.ts'

const { client, actor, stored, expectValid, faults } = await openPlannedDemo()
const { distributorId } = actor

const brokenIn = (plan: Plan) => new Set((plan.brokenPromises ?? []).map(({ orderLineId }) => orderLineId))
const lineId = (id: string) => encodeGlobalId('OrderLine', id)
const inForce = async () =>
  (await client.plan.findFirstOrThrow({ where: { distributorId, status: 'IN_FORCE' }, select: { id: true } })).id

/** The standing batches that a plan serves promised lines from. */
function batchesOfPromises({ batches, orderLines }: Problem, plan: Plan): Problem['batches'] {
  const promised = new Set(orderLines.filter(({ promisedOn }) => promisedOn !== undefined).map(({ id }) => id))
  const batchOf = new Map(plan.fillRuns.map(({ id, batchId }) => [id, batchId]))
  const serving = plan.deliveries
    .filter(({ orderLineId }) => promised.has(orderLineId))
    .flatMap(({ from }) => from.map(({ fillRunId }) => batchOf.get(fillRunId ?? '')))
  return batches.filter(({ id }) => serving.includes(id))
}

/** A draft that was made while a batch was late; the batch is right again. */
let draft = ''
/** The promises that the plan in force keeps and the draft does not. */
let broken: string[] = []

beforeAll(async () => {
  const { problem, plan } = await stored()
  for (const late of batchesOfPromises(problem, plan)) {
    await draftWhileLate(late, `${addDays(problem.today, 20)}T16:00:00Z`)
    if (broken.length > 1) return
  }
})

async function draftWhileLate(late: Problem['batches'][number], until: string): Promise<void> {
  const batch = { id: encodeGlobalId('Batch', late.id) }
  await changeBatch(actor, { batch, readyAt: until })
  const { id } = await draftPlan(actor, { effort: { steps: 60 } })
  await actor.jobs.settled()
  await changeBatch(actor, { batch, readyAt: late.readyAt })
  const kept = brokenIn((await stored()).plan)
  const rows = await client.planVerdict.findMany({
    where: { distributorId, planId: id, kind: 'BROKEN_PROMISE' },
    orderBy: { orderLineId: 'asc' },
  })
  broken = rows.flatMap(({ orderLineId }) => (kept.has(orderLineId) ? [] : [orderLineId]))
  draft = encodeGlobalId('Plan', id)
}

test('a draft that breaks promises which the plan in force keeps is refused with each line, its days and why', async () => {
  expect(broken.length).toBeGreaterThan(1)
  const before = await inForce()
  const refused = await adoptPlan(actor, { id: draft }).then(
    () => undefined,
    (error: unknown) => error,
  )
  expect(refused).toMatchObject({
    code: 'PROMISES_BROKEN',
    message: expect.stringMatching(/order line "\d+\/\d+" \(\d+ of pack ".+" for/),
  })
  const lines = (await stored()).problem.orderLines
  const promisedOn = (id: string) => lines.find((line) => line.id === id)?.promisedOn
  expect(refused).toMatchObject({
    obstacles: broken.map((id) =>
      expect.objectContaining({ kind: 'PROMISE_BROKEN', rule: 'F2', orderLineId: id, promisedOn: promisedOn(id) }),
    ),
  })
  expect(await inForce()).toBe(before)
})

test('naming only some of the lines is refused with the others', async () => {
  const [first = '', ...others] = broken
  const acceptBrokenPromises = { lines: [lineId(first)] }
  await expect(adoptPlan(actor, { id: draft, acceptBrokenPromises })).rejects.toMatchObject({
    code: 'PROMISES_BROKEN',
    obstacles: others.map((orderLineId) => expect.objectContaining({ orderLineId })),
  })
})

test.each([
  ['a line that is none', { lines: ['nonsense'] }, 'acceptBrokenPromises.lines[0]', 'UNKNOWN_REFERENCE'],
  ['no line', { lines: [] }, 'acceptBrokenPromises.lines', 'BAD_LENGTH'],
  ['all and lines', { all: true, lines: ['x'] }, 'acceptBrokenPromises', 'WRONG_TYPE'],
  ['not all', { all: false }, 'acceptBrokenPromises.all', 'UNKNOWN_CHOICE'],
])('accepting %s is wrong input', async (_, acceptBrokenPromises, path, code) => {
  await expect(adoptPlan(actor, { id: draft, acceptBrokenPromises })).rejects.toMatchObject({
    issues: [{ path, code }],
  })
})

test('where all broken promises are named it comes into force, answers each, and subscribers hear of each', async () => {
  const news = await watchPromises(actor)
  const heard: PromiseNews[] = []
  const listening = (async () => {
    for await (const each of news) if (heard.push(each) >= broken.length) return
  })()
  const adopted = await adoptPlan(actor, { id: draft, acceptBrokenPromises: { lines: broken.map(lineId) } })
  expect(adopted.brokenPromises.map(({ orderLineId }) => orderLineId)).toEqual(broken)
  for (const { promisedOn, expectedOn } of adopted.brokenPromises)
    expect(expectedOn === undefined || expectedOn > promisedOn).toBe(true)
  await listening
  expect(heard.map((each) => each.lineId).sort()).toEqual([...broken].sort())
  for (const each of heard)
    expect(each).toMatchObject({ atRisk: true, revision: adopted.revision, cause: { kind: 'PLAN_ADOPTED' } })
  const { plan } = await expectValid()
  expect([...brokenIn(plan)]).toEqual(expect.arrayContaining(broken))
  const entry = await client.changeLogEntry.findFirst({ where: { distributorId, kind: 'PLAN_ADOPTED' } })
  expect(entry?.after).toMatchObject({ brokenPromises: broken })
  expect(faults).toEqual([])
})

test('what the plan in force breaks already stands in no draft’s way', async () => {
  const { id } = await draftPlan(actor, { effort: { steps: 0 }, costs: { churn: 1_000_000 } })
  await actor.jobs.settled()
  const { brokenPromises } = await adoptPlan(actor, { id: encodeGlobalId('Plan', id) })
  expect(brokenPromises).toEqual([])
})
