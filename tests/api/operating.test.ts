// What the one who runs a server sees of it: the id of each request, a line of the log, the metrics, readiness; and how streams end when it stops.
import { afterAll, expect, test } from 'vitest'
import { z } from 'zod'
import { createApp } from '../../src/app.ts'
import { makeLog } from '../../src/operations/log.ts'
import { Metrics } from '../../src/operations/metrics.ts'
import { jobsSeenBy } from '../../src/operations/observed.ts'
import { Snapshots } from '../../src/records/snapshots.ts'
import { depthsOf } from '../../src/start/depths.ts'
import { DEMO_ID, openTestApi } from '../support/api.ts'
import { testJobs } from '../support/jobs.ts'

const { client, clock, keys } = await openTestApi({ planned: true })
const lines: Record<string, unknown>[] = []
const write = (line: string) => lines.push(JSON.parse(line))
const log = makeLog({ level: 'debug', pretty: false, now: () => clock.now(), write })
const snapshots = new Snapshots()
const metrics = new Metrics(() => depthsOf({ client, clock }, snapshots))
const observed = { log, metrics }
const onFault = () => undefined
const jobs = testJobs({ client, clock, onFault, onAttempt: jobsSeenBy(observed) })
const TOKEN = 'a-token-of-the-metrics'
const stopping = new AbortController()
const options = { client, clock, onFault, jobs, snapshots, observed, metricsToken: TOKEN }
const app = createApp({ ...options, stopping: stopping.signal })
/** The same, where no process plans: a draft waits. */
const idle = createApp({ ...options, jobs: testJobs({ client, clock, onFault }, 0) })
afterAll(() => jobs.stop())

async function ask(query: string, headers: Record<string, string> = {}, key = keys.admin, of = app) {
  return of.fetch('http://test/graphql', {
    method: 'POST',
    headers: { 'content-type': 'application/json', authorization: `Bearer ${key}`, ...headers },
    body: JSON.stringify({ query }),
  })
}

const lastRequest = () => lines.findLast(({ message }) => message === 'request')

test('each answer carries the id of its request, the caller’s own where it gave one, and so does the line of the log', async () => {
  const answer = await ask('query Mine { b: beers { totalCount } distributor { name } }', { 'x-request-id': 'till-7' })
  expect(answer.headers.get('x-request-id')).toBe('till-7')
  expect(lastRequest()).toEqual({
    ...{ time: clock.now().toISOString(), level: 'info', message: 'request', requestId: 'till-7' },
    ...{ method: 'POST', path: '/graphql', status: 200, milliseconds: expect.any(Number) },
    ...{ operation: 'query', fields: ['beers', 'distributor'], distributorId: DEMO_ID, keyId: 'admin' },
  })
  const refused = await app.fetch('http://test/nowhere')
  expect(refused.headers.get('x-request-id')).toMatch(/^[0-9a-f-]{36}$/)
  expect(lastRequest()).toMatchObject({ requestId: refused.headers.get('x-request-id'), status: 404 })
})

test('the log names the codes of refusals, and has no key, query or variable', async () => {
  await ask('{ order(by: { number: 999999 }) { id } }', {}, keys.floor)
  await ask('{ nonsense(secret: "wort-7") }')
  expect(lastRequest()).toMatchObject({ codes: ['BAD_QUERY'], requestId: expect.any(String) })
  await ask('{ apiKeys { totalCount } }', {}, keys.sales)
  expect(lastRequest()).toMatchObject({ codes: ['SCOPE_MISSING'], keyId: 'sales' })
  const text = JSON.stringify(lines)
  for (const secret of ['wort-7', '999999', 'totalCount', ...Object.values(keys)]) expect(text).not.toContain(secret)
})

async function metricsText(): Promise<string> {
  const answer = await app.fetch('http://test/metrics', { headers: { authorization: `Bearer ${TOKEN}` } })
  expect(answer.status).toBe(200)
  expect(answer.headers.get('content-type')).toBe('text/plain; version=0.0.4; charset=utf-8')
  return answer.text()
}

/** The value of a sample of the metrics; 0 where there is none. */
async function sample(name: string): Promise<number> {
  const line = (await metricsText()).split('\n').find((each) => each.startsWith(`${name} `))
  return Number(line?.slice(name.length) ?? 0)
}

test('metrics are for those who show the token, and there is no such address where none is set', async () => {
  const read = (headers: Record<string, string>, from = app) => from.fetch('http://test/metrics', { headers })
  expect((await read({})).status).toBe(401)
  expect((await read({ authorization: `Bearer ${keys.admin}` })).status).toBe(401)
  expect((await app.fetch('http://test/metrics', { method: 'POST' })).status).toBe(405)
  const without = createApp({ ...options, metricsToken: undefined })
  expect((await read({ authorization: `Bearer ${TOKEN}` }, without)).status).toBe(404)
})

test('requests, refusals, promises and attempts at jobs are counted and timed', async () => {
  const queries = 'fillwright_http_requests_total{operation="query",status="200"}'
  const before = await sample(queries)
  const lines = '[{ pack: { externalRef: "FOO-FIRKIN" }, quantity: 1 }]'
  await ask(`{ promise(input: { account: { externalRef: "C-101" }, lines: ${lines} }) { allOnTime } }`)
  expect(await sample(queries)).toBe(before + 1)
  expect(await sample('fillwright_promise_duration_seconds_count')).toBe(1)
  expect(await sample('fillwright_refusals_total{code="SCOPE_MISSING"}')).toBeGreaterThan(0)
  await ask('mutation { draftPlan(input: { effort: { steps: 1 } }) { __typename } }')
  await jobs.settled()
  expect(await sample('fillwright_job_duration_seconds_count{kind="SOLVE_DRAFT",outcome="DONE"}')).toBe(1)
})

test('the queue is that of the records, and the lag is that of another server’s writes', async () => {
  expect(await sample('fillwright_revision_lag')).toBe(0)
  await client.distributor.update({ where: { id: DEMO_ID }, data: { revision: { increment: 3 } } })
  expect(await sample('fillwright_revision_lag')).toBe(3)
  const runAfter = new Date(clock.now().getTime() - 5000)
  const job = { distributorId: DEMO_ID, kind: 'PRUNE_PLANS', payload: {}, mostAttempts: 2, createdAt: clock.now() }
  await client.job.create({ data: { ...job, key: 'one', runAfter } })
  expect(await sample('fillwright_jobs{kind="PRUNE_PLANS",state="due"}')).toBe(1)
  expect(await sample('fillwright_oldest_due_job_seconds')).toBe(5)
  await client.job.updateMany({ data: { runAfter: new Date(clock.now().getTime() + 60_000) } })
  expect(await sample('fillwright_jobs{kind="PRUNE_PLANS",state="later"}')).toBe(1)
  expect(await sample('fillwright_oldest_due_job_seconds')).toBe(0)
})

test('a stream that ends because the server stops says so; before, the draft that it is about is not done', async () => {
  expect((await app.fetch('http://test/health/ready')).status).toBe(200)
  const draft =
    'mutation { draftPlan(input: { effort: { seconds: 60 } }) { ... on PlanPayload { plan { id status } } } }'
  const drafted = z.object({ data: z.object({ draftPlan: z.object({ plan: z.object({ id: z.string() }) }) }) })
  const { id } = drafted.parse(await (await ask(draft, {}, keys.planner, idle)).json()).data.draftPlan.plan
  const query = `subscription { planProgress(plan: "${id}") { steps } }`
  const response = await ask(query, { accept: 'text/event-stream' })
  const text = response.text()
  setTimeout(() => stopping.abort(), 300)
  const events = [...(await text).matchAll(/^event: next\ndata: (.*)$/gm)].map(([, json = '']) => JSON.parse(json))
  const code = z.object({ errors: z.array(z.object({ extensions: z.record(z.string(), z.unknown()) })) })
  const [refusal] = code.parse(events.at(-1)).errors
  expect(refusal?.extensions).toMatchObject({ code: 'SERVER_STOPS', retryAfterSeconds: 5, kind: 'BUSY' })
  expect(refusal?.extensions).not.toHaveProperty('http')
  expect(await text).toContain('event: complete')
  expect((await app.fetch('http://test/health/ready')).status).toBe(503)
  expect((await app.fetch('http://test/health/live')).status).toBe(200)
})
