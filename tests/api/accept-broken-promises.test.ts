// Over HTTP: a draft that breaks promises is refused with the lines; naming them all, or saying all, puts it in force, and
// answer and subscribers have each.
import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { addDays } from '../../src/planner/documents/index.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { openTestApi } from '../support/api.ts'
import { listenFor, subscribe } from '../support/risk-news.ts'

const { app, data, client, jobs, keys, scenario, faults } = await openTestApi({ planned: true })
const { today } = scenario.problem

const ADOPT = `mutation ($input: AdoptPlanInput!) { adoptPlan(input: $input) { __typename
  ... on PlanPayload { brokenPromises { orderLine { id } promisedOn expectedOn } }
  ... on Conflict { code obstacles { kind rule promisedOn orderLine { id } } } } }`
const conflict = z.object({
  adoptPlan: z.object({
    __typename: z.literal('Conflict'),
    code: z.string(),
    obstacles: z.array(z.object({ kind: z.string(), rule: z.string(), orderLine: z.object({ id: z.string() }) })),
  }),
})
const LINE_AT_RISK = 'subscription { promiseAtRisk { atRisk line { id } cause { event } } }'

/** Makes a draft while all batches are late, and puts them right again. */
async function brokenDraft(): Promise<string> {
  const batches = await client.batch.findMany({ where: { emptiedOn: null, quarantined: false } })
  const setReady = async (readyAt: (of: Date) => string) => {
    for (const { id: batchId, readyAt: was } of batches)
      await data('mutation ($input: ChangeBatchInput!) { changeBatch(input: $input) { __typename } }', {
        input: { batch: { id: encodeGlobalId('Batch', batchId) }, readyAt: readyAt(was) },
      })
  }
  await setReady(() => `${addDays(today, 20)}T16:00:00Z`)
  const { draftPlan } = z
    .object({ draftPlan: z.object({ plan: z.object({ id: z.string() }) }) })
    .parse(
      await data('mutation { draftPlan(input: { effort: { steps: 10 } }) { ... on PlanPayload { plan { id } } } }'),
    )
  await jobs.settled()
  await setReady((was) => was.toISOString())
  return draftPlan.plan.id
}

let id = ''
let lines: string[] = []
beforeAll(async () => {
  id = await brokenDraft()
})

test('such a draft is refused with each line', async () => {
  const { adoptPlan } = conflict.parse(await data(ADOPT, { input: { id } }, 'planner'))
  expect(adoptPlan.code).toBe('PROMISES_BROKEN')
  expect(new Set(adoptPlan.obstacles.map(({ kind, rule }) => `${kind} ${rule}`))).toEqual(
    new Set(['PROMISE_BROKEN F2']),
  )
  lines = adoptPlan.obstacles.map(({ orderLine }) => orderLine.id)
  expect(lines.length).toBeGreaterThan(1)
})

test('a key that may not read orders is refused without a line, its name, its days, or a change of an order', async () => {
  const { createApiKey } = z.object({ createApiKey: z.object({ key: z.string() }) }).parse(
    await data(
      `mutation { createApiKey(input: { name: "Adopts", scopes: ["plan:write"] }) {
        ... on CreateApiKeyPayload { key } } }`,
    ),
  )
  const asked = `mutation ($input: AdoptPlanInput!) { adoptPlan(input: $input) { ... on Conflict { code message
    changes { what entityType } obstacles { kind rule message promisedOn expectedOn orderLine { id } } } } }`
  const shape = z.object({ code: z.string(), changes: z.array(z.object({ entityType: z.string() })) })
  const as = async (key: 'planner' | { key: string }) => {
    const { adoptPlan } = await data(asked, { input: { id } }, key)
    return { adoptPlan, kinds: new Set(shape.parse(adoptPlan).changes.map(({ entityType }) => entityType)) }
  }
  expect((await as('planner')).kinds).toEqual(new Set(['Batch', 'OrderLine']))
  const { adoptPlan, kinds } = await as(createApiKey)
  expect(kinds).toEqual(new Set(['Batch']))
  expect(adoptPlan).toMatchObject({ code: 'PROMISES_BROKEN', obstacles: expect.any(Array) })
  const { obstacles } = z.object({ obstacles: z.array(z.unknown()) }).parse(adoptPlan)
  expect(new Set(obstacles.map((each) => JSON.stringify(each)))).toEqual(
    new Set([
      JSON.stringify({
        ...{ kind: 'PROMISE_BROKEN', rule: 'F2' },
        ...{ message: 'It is about an order line that the key may not read.' },
        ...{ promisedOn: null, expectedOn: null, orderLine: null },
      }),
    ]),
  )
  expect(JSON.stringify(adoptPlan)).not.toMatch(/order line "/)
})

test('naming all lines but one is refused with that one', async () => {
  const input = { id, acceptBrokenPromises: { lines: lines.slice(1) } }
  const { adoptPlan } = conflict.parse(await data(ADOPT, { input }, 'planner'))
  expect(adoptPlan.obstacles.map(({ orderLine }) => orderLine.id)).toEqual(lines.slice(0, 1))
})

/** Adopts the draft with what the planner accepts; answer and subscribers have each line. */
async function adopted(accepted: object): Promise<void> {
  const leaving = new AbortController()
  const { heard, leave } = listenFor(
    await subscribe(app, LINE_AT_RISK, keys.sales, leaving.signal),
    ...lines.map((line) => `"${line}"`),
  )
  const { adoptPlan } = z
    .object({
      adoptPlan: z.object({ brokenPromises: z.array(z.object({ orderLine: z.object({ id: z.string() }) })) }),
    })
    .parse(await data(ADOPT, { input: { id, acceptBrokenPromises: accepted } }, 'planner'))
  expect(adoptPlan.brokenPromises.map(({ orderLine }) => orderLine.id).sort()).toEqual([...lines].sort())
  expect(await heard).toContain('"event":"PLAN_ADOPTED"')
  await leave()
  leaving.abort()
  expect(faults).toEqual([])
}

test('naming each line puts it in force; answer and subscribers have each line', { timeout: 120_000 }, async () => {
  await adopted({ lines })
})

test('saying all puts another in force; answer and subscribers have each line', { timeout: 120_000 }, async () => {
  // First a plan that keeps the promises is in force again, so that there is another draft that breaks them.
  const { draftPlan } = z
    .object({ draftPlan: z.object({ plan: z.object({ id: z.string() }) }) })
    .parse(
      await data('mutation { draftPlan(input: { effort: { steps: 200 } }) { ... on PlanPayload { plan { id } } } }'),
    )
  await jobs.settled()
  await data(ADOPT, { input: { id: draftPlan.plan.id, acceptBrokenPromises: { all: true } } }, 'planner')
  id = await brokenDraft()
  const refused = conflict.parse(await data(ADOPT, { input: { id } }, 'planner'))
  lines = refused.adoptPlan.obstacles.map(({ orderLine }) => orderLine.id)
  await adopted({ all: true })
})
