// What a production planner does, through the API: looks at the plan in force, drafts, compares, adopts, fixes.
import { setTimeout as wait } from 'node:timers/promises'
import { expect, test } from 'vitest'
import { z } from 'zod'
import { addDays } from '../../src/planner/documents/index.ts'
import { openTestApi } from '../support/api.ts'
import { recordStatements } from '../support/database.ts'

const { client, data, scenario, faults, jobs } = await openTestApi({ planned: true })
const { problem } = scenario
const plan = problem.baseline
if (!plan) throw new Error('the demo is planned')

const REASONS = 'reasons { rule message relief { what amount unit by } }'
const LINE = 'orderLine { id quantity order { number account { name } } pack { name } }'
const SOURCE = 'batch { code vessel { name } } brew { name beer { name } vessel { name } }'
const WHOLE = `query { planInForce {
  id status fromRevision today horizonDays frozenDays costTotal cost { term amount } costs { late }
  brews(first: 40) { totalCount edges { node { id name beer { name } vessel { name site { name } } brewOn litres volume(unit: IMPERIAL_BARREL) fixed } } }
  transfers(first: 40) { totalCount edges { node { id ${SOURCE} toVessel { name } on litres fixed } } }
  fillRuns(first: 200) { totalCount edges { node { id ${SOURCE} filler { name } pack { name containerType { name } } on quantity lotCode fixed } } }
  deliveries(first: 200) { totalCount edges { node { ${LINE} route { name } dispatchOn serveOn quantity
    sources { quantity fillRun { id on } stockLot { code } } } } }
  dumps(first: 40) { totalCount edges { node { litres on ${SOURCE} } } }
  unserved(first: 40) { totalCount edges { node { ${LINE} quantity ${REASONS} } } }
  late(first: 40) { totalCount edges { node { ${LINE} ${REASONS} } } }
  brokenPromises(first: 40) { totalCount edges { node { ${LINE} promisedOn now ${REASONS} } } }
  moved { totalCount edges { node { kind decision ${REASONS} } } }
} }`

const connection = z.object({
  totalCount: z.number(),
  edges: z.array(z.object({ node: z.record(z.string(), z.unknown()) })),
})
const EDGES = 'totalCount edges { node { reasons { message } } }'
const LISTS = ['brews', 'transfers', 'fillRuns', 'deliveries', 'dumps', 'unserved', 'late', 'brokenPromises', 'moved']

test('one query shows the whole plan in force, and costs a bounded number of database queries', async () => {
  const { result, statements } = await recordStatements(() => data(WHOLE, {}, 'planner'))
  const shown = z.record(z.string(), z.unknown()).parse(result.planInForce)
  const lists = Object.fromEntries(LISTS.map((name) => [name, connection.parse(shown[name])]))
  const counts = Object.fromEntries(Object.entries(lists).map(([name, { totalCount }]) => [name, totalCount]))
  expect(counts).toEqual({
    brews: plan.brews.length,
    transfers: plan.transfers.length,
    fillRuns: plan.fillRuns.length,
    deliveries: plan.deliveries.length,
    dumps: plan.dumped.length,
    unserved: plan.unserved.length,
    late: plan.late?.length,
    brokenPromises: plan.brokenPromises?.length,
    moved: plan.moved?.length,
  })
  expect(lists.deliveries?.edges.length).toBe(Math.min(200, plan.deliveries.length))
  expect(shown.costTotal).toBe(Number(plan.cost.total.toFixed(2)))
  // Where the containers are, and what they do at their accounts, takes up to seven; the codes of lots take four.
  expect(statements.length).toBeLessThan(99)
})

test('the number of database queries does not grow with the plan', async () => {
  const small = WHOLE.replaceAll(/first: \d+/g, 'first: 3')
  const few = await recordStatements(() => data(small, {}, 'planner'))
  const many = await recordStatements(() => data(WHOLE, {}, 'planner'))
  expect(many.statements.length).toBeLessThanOrEqual(few.statements.length + 5)
})

test('lists of decisions are cut to days', async () => {
  const from = addDays(problem.today, 5)
  const to = addDays(problem.today, 9)
  const query = `query ($from: LocalDate, $to: LocalDate) { planInForce { fillRuns(from: $from, to: $to, first: 200) { totalCount edges { node { on } } } } }`
  const expected = plan.fillRuns.filter(({ on }) => on >= from && on <= to).map(({ on }) => ({ node: { on } }))
  const { planInForce } = await data(query, { from, to }, 'planner')
  expect(planInForce).toMatchObject({ fillRuns: { totalCount: expected.length } })
  expect(
    z
      .object({ fillRuns: connection })
      .parse(planInForce)
      .fillRuns.edges.map(({ node }) => node.on)
      .sort(),
  ).toEqual(expected.map(({ node }) => node.on).sort())
})

test('what is dumped is cut to days, as what is filled', async () => {
  const days = plan.dumped.map(({ on }) => on).sort()
  const from = days[1] ?? 'none is dumped'
  const to = days.at(-2) ?? 'none is dumped'
  const query = `query ($from: LocalDate, $to: LocalDate) { planInForce { dumps(from: $from, to: $to, first: 200) { totalCount edges { node { on } } } } }`
  const expected = days.filter((on) => on >= from && on <= to)
  expect(expected.length).toBeGreaterThan(0)
  expect(expected.length).toBeLessThan(days.length)
  const { planInForce } = await data(query, { from, to }, 'planner')
  expect(planInForce).toEqual({
    dumps: { totalCount: expected.length, edges: expected.map((on) => ({ node: { on } })) },
  })
})

test('a vessel’s spans cover the days that are asked for', async () => {
  const from = addDays(problem.today, 5)
  const to = addDays(problem.today, 9)
  const query = `query ($from: LocalDate, $to: LocalDate) { planInForce { vesselTimeline(from: $from, to: $to) { spans { from to } } } }`
  const { planInForce } = await data(query, { from, to }, 'planner')
  const timelines = z
    .object({ vesselTimeline: z.array(z.object({ spans: z.array(z.object({ from: z.string(), to: z.string() })) })) })
    .parse(planInForce).vesselTimeline
  expect(timelines).toHaveLength(problem.vessels.length)
  for (const { spans } of timelines) {
    expect((spans[0]?.from ?? '9') <= from && (spans.at(-1)?.to ?? '') >= to).toBe(true)
    for (const [index, span] of spans.slice(1).entries()) expect(span.from).toBe(addDays(spans[index]?.to ?? '', 1))
  }
})

test('timelines and loads add up to what the plan says', async () => {
  const query = `{ planInForce {
    vesselTimeline { vessel { name } spans { kind from to beer { name } batch { code } brew readyOn emptiedOn litres } }
    fillerLoad { filler { externalRef } day minutesUsed minutesAvailable }
    containers { site { name } containerType { name } day clean filled }
    storeLoad { site { name } climate day litres capacityLitres }
    routeLoad { route { name } day containers litres capacityLitres } } }`
  const { planInForce } = await data(query, {}, 'planner')
  const entry = z.record(z.string(), z.unknown())
  const view = z
    .object({
      vesselTimeline: z.array(z.object({ spans: z.array(entry) })),
      fillerLoad: z.array(entry.and(z.object({ minutesUsed: z.number(), minutesAvailable: z.number() }))),
      containers: z.array(entry.and(z.object({ clean: z.number(), filled: z.number() }))),
      storeLoad: z.array(entry.and(z.object({ litres: z.number() }))),
      routeLoad: z.array(entry.and(z.object({ containers: z.number(), litres: z.number() }))),
    })
    .parse(planInForce)
  expect(view.vesselTimeline.length).toBe(problem.vessels.length)
  const withBeer = view.vesselTimeline.flatMap(({ spans }) => spans).filter(({ beer }) => beer !== null)
  expect(withBeer.length).toBe(problem.batches.length + plan.brews.length + plan.transfers.length)
  for (const { minutesUsed, minutesAvailable } of view.fillerLoad)
    expect(minutesUsed).toBeLessThanOrEqual(minutesAvailable + 1e-6)
  for (const { clean, filled } of view.containers) expect(filled).toBeLessThanOrEqual(Math.max(0, clean))
  expect(view.routeLoad.reduce((sum, { containers }) => sum + containers, 0)).toBe(
    plan.deliveries.flatMap(({ from }) => from).reduce((sum, { quantity }) => sum + quantity, 0),
  )
  expect(view.storeLoad.length).toBe(problem.stores.length * problem.horizonDays)
})

const PAYLOAD = `__typename ... on PlanPayload { revision plan { id status } }
  ... on Conflict { code message } ... on NotFound { code } ... on InvalidInput { issues { path code } } ... on Forbidden { scope }`
const payload = z.object({ __typename: z.string(), plan: z.object({ id: z.string(), status: z.string() }).optional() })

async function draft(input: object): Promise<string> {
  const { draftPlan } = await data(
    `mutation ($input: DraftPlanInput!) { draftPlan(input: $input) { ${PAYLOAD} } }`,
    { input },
    'planner',
  )
  const begun = payload.parse(draftPlan)
  expect(begun.plan?.status).toBe('SOLVING')
  return begun.plan?.id ?? ''
}

const adopt = (id: string) =>
  data(`mutation ($input: AdoptPlanInput!) { adoptPlan(input: $input) { ${PAYLOAD} } }`, { input: { id } }, 'planner')

test('a draft is polled until it is ready, compared with the plan in force, adopted, and its decisions fixed', async () => {
  const id = await draft({ effort: { seconds: 1.5 }, costs: { churn: 1 } })
  const polled = `query ($id: ID!) { plan(id: $id) { status progress { steps bestCost seconds } failure } }`
  const statusShape = z.object({ plan: z.object({ status: z.string() }) })
  const statusNow = async () => statusShape.parse(await data(polled, { id }, 'planner')).plan.status
  let status = await statusNow()
  let polls = 0
  for (; status === 'SOLVING'; status = await statusNow()) {
    polls += 1
    await wait(20)
  }
  expect(status).toBe('DRAFT')
  expect(polls).toBeGreaterThan(0)
  await jobs.settled()

  const { planInForce } = await data('{ planInForce { id } }', {}, 'planner')
  const before = z.object({ id: z.string() }).parse(planInForce).id
  const compared = await data(
    `query ($id: ID!, $other: ID!) { plan(id: $id) { lowerBound gap seed steps
      against(plan: $other) { added { kind decision after { on amount } before { on } } dropped { kind before { on } }
      moved { decision changed reasons { rule message } before { on beer { name } vessel { name } } after { on batch { code } brew filler { name } pack { name } } }
      lines { orderLine { quantity } before { quantity serveOn } after { quantity serveOn } } } } }`,
    { id, other: before },
    'planner',
  )
  expect(compared.plan).toMatchObject({ seed: 1, against: { added: expect.any(Array) } })

  expect((await adopt(id)).adoptPlan).toMatchObject({ __typename: 'PlanPayload', plan: { id, status: 'IN_FORCE' } })
  expect((await adopt(id)).adoptPlan).toMatchObject({ __typename: 'Conflict', code: 'STATUS_FORBIDS' })
  const { plans } = await data(`{ plans(filter: { status: PAST }) { totalCount edges { node { id replacedAt } } } }`)
  expect(plans).toMatchObject({ totalCount: 1, edges: [{ node: { id: before } }] })

  const { planInForce: now } = await data(
    '{ planInForce { fillRuns(last: 1) { totalCount edges { node { id } } } } }',
    {},
    'planner',
  )
  const run = z.object({ fillRuns: connection }).parse(now).fillRuns.edges[0]?.node.id
  const fix = (name: string) =>
    data(`mutation ($input: DecisionInPlan!) { ${name}(input: $input) { ${PAYLOAD} } }`, { input: { fillRun: run } })
  const fixed = async () =>
    (await data(`query ($id: ID!) { node(id: $id) { ... on FillRun { fixed } } }`, { id: run })).node
  expect((await fix('fixInPlan')).fixInPlan).toMatchObject({ __typename: 'PlanPayload' })
  expect(await fixed()).toEqual({ fixed: true })
  expect((await fix('unfixInPlan')).unfixInPlan).toMatchObject({ __typename: 'PlanPayload' })
  expect(await fixed()).toEqual({ fixed: false })
})

test('what does not exist or is not allowed is a typed error', async () => {
  expect((await adopt('nonsense')).adoptPlan).toMatchObject({ __typename: 'NotFound' })
  const { draftPlan } = await data(
    `mutation { draftPlan(input: { effort: { seconds: 100000 } }) { ${PAYLOAD} } }`,
    {},
    'planner',
  )
  expect(draftPlan).toMatchObject({ issues: [{ path: 'effort.seconds', code: 'OUT_OF_RANGE' }] })
  const { draftPlan: refused } = await data(`mutation { draftPlan(input: {}) { ${PAYLOAD} } }`, {}, 'sales')
  expect(refused).toMatchObject({ __typename: 'Forbidden', scope: 'plan:write' })
  expect(await data('{ node(id: "RmlsbFJ1bjpub25l") { id } }')).toEqual({ node: null })
  expect(await client.plan.count({ where: { status: 'SOLVING' } })).toBe(0)
  expect(faults).toEqual([])
})

test('what would help is described with the names of vessels, fillers and batches, not with ids of rows', async () => {
  const ids = [...problem.vessels, ...problem.fillers, ...problem.batches].map(({ id }) => id)
  const shown = z
    .object({ planInForce: z.object({ late: connection, unserved: connection }) })
    .parse(
      await data(`{ planInForce { late(first: 99) { ${EDGES} } unserved(first: 99) { ${EDGES} } } }`, {}, 'planner'),
    )
  const words = JSON.stringify(shown).split(/[^\w-]+/)
  expect(
    JSON.stringify(plan.late)
      .split(/[^\w-]+/)
      .some((word) => ids.includes(word)),
  ).toBe(true)
  expect(words.filter((word) => ids.includes(word))).toEqual([])
})
