// Who is subscribed hears by server-sent events how far a draft or a comparison is, and what a scenario would change.
import { afterAll, expect, test } from 'vitest'
import { z } from 'zod'
import { hashKey } from '../../src/resolvers/access/authenticate.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { DEMO_ID, openTestApi } from '../support/api.ts'
import { WHOLE } from '../support/sampled.ts'

const { app, client, data, keys, jobs, faults, revision, scenario } = await openTestApi({ planned: true })
afterAll(() => jobs.stop())

/** The results that a subscription sends until it ends. */
async function listen(query: string, variables: object, key = keys.planner): Promise<unknown[]> {
  const response = await app.fetch('http://test/graphql', {
    method: 'POST',
    headers: {
      'content-type': 'application/json',
      accept: 'text/event-stream',
      authorization: `Bearer ${key}`,
    },
    body: JSON.stringify({ query, variables }),
  })
  expect(response.headers.get('content-type')).toContain('text/event-stream')
  const text = await response.text()
  expect(text).toContain('event: complete')
  return [...text.matchAll(/^event: next\ndata: (.*)$/gm)].map(([, json = '']) => JSON.parse(json))
}

const PROGRESS = '{ steps bestCost lowerBound boundKind gap seconds }'
const progressShape = z.object({
  steps: z.number(),
  bestCost: z.number(),
  lowerBound: z.number().nullable(),
  boundKind: z.string().nullable(),
  gap: z.number().nullable(),
  seconds: z.number(),
})
const WATCH = `subscription ($plan: ID!) { planProgress(plan: $plan) ${PROGRESS} }`

async function draft(effort: object): Promise<string> {
  const { draftPlan } = await data(
    `mutation ($input: DraftPlanInput!) { draftPlan(input: $input) { ... on PlanPayload { plan { id } } } }`,
    { input: { effort } },
    'planner',
  )
  return z.object({ plan: z.object({ id: z.string() }) }).parse(draftPlan).plan.id
}

test.runIf(WHOLE)('progress is heard until the draft is done, and at last is what the plan itself tells', async () => {
  const plan = await draft({ seconds: 2 })
  const events = await listen(WATCH, { plan })
  const heard = events.map(
    (event) => z.object({ data: z.object({ planProgress: progressShape }) }).parse(event).data.planProgress,
  )
  expect(heard.length).toBeGreaterThan(1)
  const steps = heard.map((each) => each.steps)
  expect(steps).toEqual(steps.toSorted((a, b) => a - b))
  for (const { bestCost, lowerBound } of heard) expect(lowerBound ?? 0).toBeLessThanOrEqual(bestCost)
  const solved = await data(
    `query ($plan: ID!) { plan(id: $plan) { status costTotal lowerBound boundKind gap progress ${PROGRESS} } }`,
    { plan },
    'planner',
  )
  const last = heard.at(-1)
  expect(solved.plan).toMatchObject({ status: 'DRAFT', progress: last, costTotal: last?.bestCost })
  expect(solved.plan).toMatchObject({ lowerBound: last?.lowerBound, boundKind: last?.boundKind, gap: last?.gap })
  expect(last?.lowerBound).toBeGreaterThan(0)
  expect(await listen(WATCH, { plan })).toEqual([{ data: { planProgress: last } }])
})

test('a subscription to what is not there, is of another kind, or is not allowed says so', async () => {
  const other = 'another distributor'
  await client.distributor.create({ data: { id: other, name: 'Another', timeZone: 'Europe/London' } })
  const query = { where: { status: 'IN_FORCE' } } as const
  const plan = await client.plan.findFirstOrThrow(query)
  const hidden = { ...plan, distributorId: other, id: 'hidden', baselineId: null }
  await client.plan.create({
    data: {
      ...hidden,
      costs: {},
      costTerms: {},
      without: [],
      progress: {},
      statistics: {},
      failure: undefined,
      unavoidable: {},
    },
  })
  for (const id of ['nonsense', encodeGlobalId('Plan', 'none'), encodeGlobalId('Plan', 'hidden')])
    expect(await listen(WATCH, { plan: id })).toMatchObject([
      { errors: [{ extensions: { code: 'NO_SUCH_THING', action: expect.any(String) } }] },
    ])
  const id = encodeGlobalId('Plan', plan.id)
  const floor = { id: 'cellar', name: 'Cellar', hash: hashKey('floor-key'), scopes: ['floor:write'] }
  await client.apiKey.create({ data: { ...floor, distributorId: DEMO_ID, createdAt: plan.createdAt } })
  expect(await listen(WATCH, { plan: id }, 'floor-key')).toMatchObject([
    { errors: [{ extensions: { code: 'SCOPE_MISSING' } }] },
  ])
  expect(await listen('subscription { planProgress(plan: 1) { nothing } }', {})).toMatchObject([
    { errors: [{ extensions: { code: 'BAD_QUERY' } }] },
  ])
  await client.plan.deleteMany({ where: { distributorId: other } })
  await client.distributor.delete({ where: { id: other } })
})

const COMPARED = `status fromRevision failure scenarios { name changes failure
  outcome { interim costTotal cost { term amount } lowerBound gap service { litresWanted litresOnTime litresLate litresUnserved linesOnTime brokenPromises brews } } }`

test('scenarios stand side by side beside the records as they are, and nothing of them is in the plan in force', async () => {
  const before = await data('{ planInForce { id costTotal brews { totalCount } } }')
  const since = await revision()
  const like = { id: encodeGlobalId('Vessel', scenario.problem.vessels[0]?.id ?? '') }
  const scenarios = [
    { name: 'A bigger tank', changes: [{ moreVessels: { like, capacityLitres: 5000 } }] },
    { name: 'Closed tomorrow', changes: [{ without: { day: { day: '2027-03-02' } } }] },
  ]
  const { compare } = await data(
    `mutation ($input: CompareInput!) { compare(input: $input) { __typename
      ... on ComparePayload { revision comparison { id status } } ... on InvalidInput { issues { path code message } } } }`,
    { input: { scenarios, effort: { steps: 30 } } },
    'planner',
  )
  expect(compare).toMatchObject({ __typename: 'ComparePayload', revision: since, comparison: { status: 'SOLVING' } })
  const begun = z.object({ comparison: z.object({ id: z.string() }) }).parse(compare).comparison
  const heard = await listen(
    `subscription ($id: ID!) { comparisonProgress(comparison: $id) { done scenarios progress ${PROGRESS} } }`,
    begun,
  )
  expect(heard.at(-1)).toMatchObject({ data: { comparisonProgress: { done: 3, scenarios: 3 } } })
  const { comparison } = await data(`query ($id: ID!) { comparison(id: $id) { ${COMPARED} } }`, begun, 'planner')
  const outcome = {
    interim: false,
    costTotal: expect.any(Number),
    lowerBound: expect.any(Number),
    service: { brews: expect.any(Number) },
  }
  expect(comparison).toMatchObject({
    status: 'READY',
    fromRevision: since,
    failure: null,
    scenarios: [
      { name: 'As it is', changes: [], outcome },
      { name: 'A bigger tank', changes: [expect.stringMatching(/^1 more like .* of 5000 L$/)], outcome },
      { name: 'Closed tomorrow', changes: ['Closed on 2027-03-02: every site'], outcome },
    ],
  })
  expect(await revision()).toBe(since)
  expect(await data('{ planInForce { id costTotal brews { totalCount } } }')).toEqual(before)
  // Until all are planned each may still take over what suits it of the others.
  await client.comparison.updateMany({ data: { status: 'SOLVING', solvedAt: null } })
  expect(await data(`query ($id: ID!) { comparison(id: $id) { ${COMPARED} } }`, begun, 'planner')).toMatchObject({
    comparison: { scenarios: [{ outcome: { ...outcome, interim: true } }, {}, {}] },
  })
  expect(faults).toEqual([])
})

test.runIf(WHOLE)('the plan in force tells a bound that holds, also after an order was placed into it', async () => {
  const query = '{ planInForce { costTotal lowerBound boundKind gap } }'
  const shape = z.object({
    planInForce: z.object({ costTotal: z.number(), lowerBound: z.number(), boundKind: z.string(), gap: z.number() }),
  })
  const holds = async () => {
    const { costTotal, lowerBound, gap } = shape.parse(await data(query, {}, 'planner')).planInForce
    expect(lowerBound).toBeGreaterThan(0)
    expect(lowerBound).toBeLessThanOrEqual(costTotal)
    expect(gap).toBeCloseTo((costTotal - lowerBound) / costTotal, 4)
  }
  // The plan of the test came without a bound.
  await data(query, {}, 'planner')
  await jobs.settled()
  await holds()
  const { placeOrder } = await data(
    `mutation { placeOrder(input: { account: { externalRef: "C-101" }, serveOn: "2027-03-20", accept: LATER
      lines: [{ pack: { externalRef: "MAR-KEG50" }, quantity: 1 }] }) { __typename } }`,
    {},
    'sales',
  )
  expect(placeOrder).toEqual({ __typename: 'OrderPayload' })
  expect(await client.plan.count({ where: { status: 'IN_FORCE', lowerBound: null } })).toBe(1)
  // No one waits for it.
  const pending = { planInForce: { costTotal: expect.any(Number), lowerBound: null, boundKind: 'PENDING', gap: null } }
  expect(await data(query, {}, 'planner')).toEqual(pending)
  await jobs.settled()
  await holds()
  expect(await client.plan.count({ where: { status: 'IN_FORCE', lowerBound: null } })).toBe(0)
})

test('a plan says whom it serves: the share on time, lines late and lines unserved', async () => {
  const query = `{ planInForce { unserved { totalCount }
    service { litresWanted litresOnTime onTimeShare lines linesOnTime linesLate linesUnserved brokenPromises brews } } }`
  const amount = z.number()
  const shape = z.object({
    planInForce: z.object({
      unserved: z.object({ totalCount: amount }),
      service: z.record(z.string(), amount),
    }),
  })
  const { unserved, service } = shape.parse(await data(query, {}, 'planner')).planInForce
  const { litresWanted = 0, litresOnTime, onTimeShare = 0, lines, linesOnTime = 0, linesLate = 0 } = service
  expect(onTimeShare).toBe(Math.floor((10_000 * (litresOnTime ?? 0)) / litresWanted) / 10_000)
  expect(service.linesUnserved).toBe(unserved.totalCount)
  expect(linesOnTime + linesLate + unserved.totalCount).toBe(lines)
})
