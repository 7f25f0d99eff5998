// Bounds that queries ask for are found in turn with all other work in the background, once for each plan and revision.
import { expect, test } from 'vitest'
import { demoScenario } from '../../../seeds/demo.ts'
import { makePlan } from '../../../src/planner/index.ts'
import type { Scenario } from '../../../src/records/scenario.ts'
import { DEMO_ID, openTestApi } from '../../support/api.ts'

/** The demo's brewery with a few of its orders, so that their bound is found soon. */
function fewOrders(today: string): Scenario {
  const scenario = demoScenario(today)
  const problem = { ...scenario.problem, orderLines: scenario.problem.orderLines.slice(0, 8) }
  return { ...scenario, problem: { ...problem, baseline: makePlan(problem, { steps: 60 }).plan } }
}

const { client, data, jobs, faults } = await openTestApi({ scenarioOf: fewOrders })
const QUERY = '{ planInForce { id costTotal lowerBound boundKind gap } }'
const boundJobs = () => client.job.findMany({ where: { kind: 'FIND_BOUND' }, orderBy: { createdAt: 'asc' } })

test('many who ask at once begin one search, and one more begins only at another revision', async () => {
  await Promise.all(Array.from({ length: 10 }, () => data(QUERY)))
  expect(await boundJobs()).toHaveLength(1)
  await jobs.settled()
  expect(await data(QUERY)).toMatchObject({ planInForce: { lowerBound: expect.any(Number), gap: expect.any(Number) } })
  expect(await boundJobs()).toMatchObject([{ state: 'DONE' }])
})

test('a search that waits until the records have moved on ends without any work', async () => {
  const { id } = await client.plan.findFirstOrThrow({ where: { status: 'IN_FORCE' } })
  await client.plan.updateMany({ where: { id }, data: { lowerBound: null, boundKind: null, gap: null } })
  await client.job.deleteMany({ where: { kind: 'FIND_BOUND' } })
  const asked = data(QUERY)
  // The records move on before the job is begun: no question is about them as they were any more.
  await client.distributor.update({ where: { id: DEMO_ID }, data: { revision: { increment: 1 } } })
  await asked
  await client.distributor.update({ where: { id: DEMO_ID }, data: { revision: { increment: 1 } } })
  await jobs.settled()
  expect(await client.plan.count({ where: { id, lowerBound: null } })).toBe(1)
})

test('while records move on again and again one search of a plan is under way, and the next begins when it has ended', async () => {
  const { id, distributorId } = await client.plan.findFirstOrThrow({ where: { status: 'IN_FORCE' } })
  await client.job.deleteMany({ where: { kind: 'FIND_BOUND' } })
  const { revision } = await client.distributor.findUniqueOrThrow({ where: { id: DEMO_ID } })
  const earlier = { kind: 'FIND_BOUND', key: `${id} ${revision - 1}`, payload: { planId: id, revision: revision - 1 } }
  const inAnHour = new Date(Date.now() + 3_600_000)
  const waits = await client.job.create({
    data: { distributorId, ...earlier, mostAttempts: 2, runAfter: inAnHour, createdAt: new Date() },
  })
  for (let n = 1; n <= 5; n += 1) {
    expect(await data(QUERY)).toMatchObject({ planInForce: { lowerBound: null, boundKind: 'PENDING' } })
    await client.distributor.update({ where: { id: DEMO_ID }, data: { revision: { increment: 1 } } })
  }
  expect(await boundJobs()).toHaveLength(1)
  await client.job.deleteMany({ where: { id: waits.id } })
  expect(await data(QUERY)).toMatchObject({ planInForce: { boundKind: 'PENDING' } })
  await jobs.settled()
  expect(await boundJobs()).toMatchObject([{ state: 'DONE' }])
})

test('what is past has the bound that is stored or none, and begins nothing', async () => {
  await client.job.deleteMany({ where: { kind: 'FIND_BOUND' } })
  await client.plan.updateMany({
    data: { status: 'PAST', replacedAt: new Date(), lowerBound: null, boundKind: null, gap: null },
  })
  const past = await data('{ plans(first: 200) { edges { node { status lowerBound boundKind gap } } } }')
  expect(past).toEqual({
    plans: { edges: [{ node: { status: 'PAST', lowerBound: null, boundKind: null, gap: null } }] },
  })
  expect(await boundJobs()).toEqual([])
  expect(faults).toEqual([])
})
