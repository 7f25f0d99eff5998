// The README's queries run as they are written, one after the other, each as the user that it names; so do the commands that
// ask a server, and the tabs of the query editor.
import { execFile } from 'node:child_process'
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { type OperationDefinitionNode, parse } from 'graphql'
import { afterAll, expect, test } from 'vitest'
import { z } from 'zod'
import { orderAndFollow } from '../../examples/typescript/follow-orders.ts'
import { readWebhook } from '../../examples/typescript/receive-webhook.ts'
import { createApp } from '../../src/app.ts'
import { Metrics } from '../../src/operations/metrics.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import { DEMO_USERS, type DemoUser } from '../../src/resolvers/access/demo-keys.ts'
import { graphiqlTabs } from '../../src/schema/graphiql-tabs.ts'
import { listen } from '../../src/server.ts'
import { newSecret, signedHeaders } from '../../src/webhooks/signature.ts'
import { openTestApi } from '../support/api.ts'

const { app, ask, client, clock, jobs, faults, keys, scenario } = await openTestApi({ planned: true })
const { today } = scenario.problem
afterAll(() => jobs.stop())
const readme = await readFile(new URL('../../README.md', import.meta.url), 'utf8')
const blocks = [...readme.matchAll(/```graphql (\w+)\n([\s\S]*?)```/g)].map(([, user = '', query = '']) => ({
  user,
  query,
}))

function isUser(name: string): name is DemoUser {
  return name in DEMO_USERS
}

/** What the blocks take as variables: days, and what the answers of blocks before them had. */
const variables: Record<string, unknown> = { serveOn: addDays(today, 10), from: today, to: addDays(today, 6) }

const offered = z.object({ promise: z.object({ offerToken: z.string() }) })
const searching = z.object({ promise: z.object({ newPlan: z.object({ id: z.string() }) }) })
const newPlan = z.object({ newPlanSearch: z.object({ alternative: z.object({ offerToken: z.string() }) }) })
const ordered = z.object({
  placeOrder: z.object({
    revision: z.int(),
    order: z.object({ lines: z.array(z.object({ id: z.string(), quantity: z.int(), promisedOn: z.string() })).min(1) }),
  }),
})

const amended = z.object({ amendOrder: z.object({ outcome: z.array(z.object({ promisedOn: z.string() })).min(1) }) })

const drafted = z.object({ draftPlan: z.object({ plan: z.object({ id: z.string() }) }) })
const compared = z.object({ compare: z.object({ comparison: z.object({ id: z.string() }) }) })
const adopted = z.object({ adoptPlan: z.record(z.string(), z.unknown()) })

const edges = <Node extends z.ZodType>(node: Node) => z.object({ edges: z.array(z.object({ node })).min(1) })
const planned = z.object({
  planInForce: z.object({ fillRuns: edges(z.object({ id: z.string(), quantity: z.int() })) }),
})
const lots = z.array(z.object({ code: z.string() }))
const recorded = z.object({ recordFacts: z.object({ facts: z.array(z.object({ id: z.string(), lots })).min(1) }) })
const unconfirmed = z.object({ unconfirmed: edges(z.object({ id: z.string() })) })

/** What `adoptPlan` answered. */
let adoption: unknown

function remember(data: unknown): void {
  const draft = drafted.safeParse(data).data?.draftPlan
  if (draft) variables.plan = draft.plan.id
  const comparison = compared.safeParse(data).data?.compare
  if (comparison) variables.comparison = comparison.comparison.id
  adoption ??= adopted.safeParse(data).data?.adoptPlan
  const offer = offered.safeParse(data).data?.promise
  if (offer) variables.offerToken = offer.offerToken
  const search = searching.safeParse(data).data?.promise
  if (search) variables.search = search.newPlan.id
  const found = newPlan.safeParse(data).data?.newPlanSearch
  if (found) variables.newPlanToken = found.alternative.offerToken
  const order = ordered.safeParse(data).data?.placeOrder
  if (order) Object.assign(variables, { lineId: order.order.lines[1]?.id, revision: order.revision })
  const outcome = amended.safeParse(data).data?.amendOrder.outcome
  if (outcome) variables.promisedOn = outcome[0]?.promisedOn
  const run = planned.safeParse(data).data?.planInForce.fillRuns.edges.find(({ node }) => node.quantity > 1)?.node
  if (run) Object.assign(variables, { fillRun: run.id, quantity: run.quantity, fewer: run.quantity - 1 })
  const fact = recorded.safeParse(data).data?.recordFacts.facts[0]
  if (fact) Object.assign(variables, { fact: fact.id, lotCode: fact.lots[0]?.code })
  const assumed = unconfirmed.safeParse(data).data?.unconfirmed.edges
  if (assumed) variables.facts = assumed.map(({ node }) => node.id)
}

test.each(blocks)('as $user: $query', async ({ user, query }) => {
  if (!isUser(user)) throw new Error(`the demo has no user "${user}"`)
  if (query.startsWith('subscription')) return expect(await heard(query, user)).toContain('event: complete')
  // Nothing is assumed of today.
  if (query.includes('unconfirmed')) clock.set(new Date(clock.now().getTime() + 86_400_000))
  const { data, errors } = await ask(query, variables, user)
  expect(errors).toBeUndefined()
  remember(data)
  if (/compare\(|newPlan \{/.test(query)) await jobs.settled()
  // A block that asks for nothing but what is wrong shows what is wrong; all others do what they say.
  const refused = Object.values(data ?? {}).filter((value) => JSON.stringify(value).includes('"issues"'))
  if (!/^mutation/.test(query) || query.includes('__typename')) expect(refused).toEqual([])
  else expect(refused.length).toBeGreaterThan(0)
  expect(faults).toEqual([])
})

/** All that a subscription tells until it ends. */
async function heard(query: string, user: DemoUser): Promise<string> {
  const headers = { accept: 'text/event-stream', 'content-type': 'application/json' }
  const response = await app.fetch('http://test/graphql', {
    method: 'POST',
    headers: { ...headers, authorization: `Bearer ${keys[user]}` },
    body: JSON.stringify({ query, variables }),
  })
  const text = await response.text()
  expect(text).toContain('"bestCost"')
  return text
}

test('the new plan was found, and the beer was reserved in it', async () => {
  const query = '{ reservation(by: { externalRef: "BASKET-2" }) { order { lines { quantity promisedOn } } } }'
  const lines = [{ quantity: 2, promisedOn: variables.serveOn }]
  expect((await ask(query, {}, 'sales')).data).toEqual({ reservation: { order: { lines } } })
})

test('the adoption was refused with what others changed and what of it is in the way', () => {
  expect(adoption).toMatchObject({
    __typename: 'Conflict',
    code: 'REVISION_MOVED',
    changes: expect.arrayContaining([expect.objectContaining({ event: 'FILLER_CHANGED' })]),
    obstacles: expect.arrayContaining([expect.objectContaining({ message: expect.stringMatching(/\.$/) })]),
  })
})

test('the comparison came to its end, and nothing of it is interim', async () => {
  const query = blocks.find((each) => each.query.includes('comparison(id'))?.query ?? ''
  const { data } = await ask(query, variables, 'planner')
  const outcome = { interim: false, costTotal: expect.any(Number) }
  expect(data).toMatchObject({ comparison: { status: 'READY', scenarios: [{ outcome }, { outcome }, { outcome }] } })
})

test('the sales example went all the way: asked, reserved, confirmed, amended, and delivered by the plan as promised', async () => {
  const back =
    'mutation { changeFiller(input: { filler: { externalRef: "LINE-1" }, minutesPerDay: 210 }) { __typename } }'
  expect((await ask(back, {}, 'integrator')).data).toEqual({ changeFiller: { __typename: 'FillerPayload' } })
  const query = blocks.findLast(({ user }) => user === 'sales')?.query ?? ''
  const { data } = await ask(query, variables, 'sales')
  const order = { number: expect.any(Number), status: 'OPEN' }
  expect(data?.order).toMatchObject({
    ...order,
    lines: [
      { quantity: 1, atRisk: null },
      { quantity: 3, atRisk: null },
    ],
  })
  const { planInForce } = z
    .object({
      planInForce: z.object({
        deliveries: z.object({
          edges: z.array(
            z.object({
              node: z.object({
                quantity: z.int(),
                orderLine: z.object({ id: z.string(), order: z.object({ externalRef: z.string().nullable() }) }),
              }),
            }),
          ),
        }),
      }),
    })
    .parse(data)
  const own = planInForce.deliveries.edges.filter(({ node }) => node.orderLine.order.externalRef === 'WEB-1')
  expect(own.reduce((sum, { node }) => sum + node.quantity, 0)).toBe(4)
})

const TOKEN = 'a-token-of-the-metrics'
const folder = await mkdtemp(join(tmpdir(), 'fillwright-readme-'))
const metrics = new Metrics(async () => ({ jobs: [], oldestDueSeconds: 0, revisionLag: 0 }))
const onFault = (error: unknown) => faults.push(error)
const observed = createApp({ client, clock, jobs, onFault, observed: { metrics }, metricsToken: TOKEN })
const server = await listen(observed, { host: '127.0.0.1', port: 0 })
await writeFile(join(folder, 'demo-keys.json'), JSON.stringify(keys))
afterAll(async () => {
  await server.close(1000)
  await rm(folder, { recursive: true })
})

/** What the shell takes for today. */
let dayOfCommands = today

/** Runs the commands of the README that are marked so, one after the other, with the server and the folder of this test. */
async function runCommands(mark: string) {
  const commands = [...readme.matchAll(/```sh ([\w ]+)\n([\s\S]*?)```/g)].filter(([, each]) => each === mark)
  const env = { ...process.env, METRICS_TOKEN: TOKEN }
  const ran: { stdout: string; stderr: string }[] = []
  for (const [, , command = ''] of commands) {
    const here = command
      .replaceAll('localhost:4000', server.address)
      .replaceAll('var/', `${folder}/`)
      .replaceAll('$(date +%F)', dayOfCommands)
    ran.push(await promisify(execFile)('bash', ['--norc', '-euo', 'pipefail', '-c', here], { env }))
  }
  return ran
}

test('the tables of the README are sent, and change nothing where they come back', async () => {
  const [run] = await runCommands('tables')
  const [names = '', first = '', , answer = ''] = (run?.stdout ?? '').split('\r\n')
  expect(names).toMatch(/^externalRef,account,/)
  expect(first.split(',')).toHaveLength(names.split(',').length)
  expect(await readFile(join(folder, 'movements.csv'), 'utf8')).toMatch(/^kind,day,/)
  const result = z.object({ externalRef: z.string().nullable(), outcome: z.string(), errors: z.array(z.unknown()) })
  const { results } = z.object({ results: z.array(result) }).parse(JSON.parse(answer))
  const ofReferences = results.filter(({ externalRef }) => externalRef !== null)
  expect(ofReferences.length).toBeGreaterThan(10)
  // Orders that their callers did not name have nothing to be known by.
  expect(ofReferences.filter(({ outcome }) => outcome !== 'UNCHANGED')).toEqual([])
})

test('the first calls of an integrator go from an offer to an order, its change, and both in the feed', async () => {
  const [run] = await runCommands('first calls')
  const [placed, amended, feed] = (run?.stdout ?? '').split(/(?<=\})(?=\{"data")/).map((text) => JSON.parse(text))
  expect(placed.data.placeOrder).toMatchObject({ __typename: 'OrderPayload', order: { lines: [{ quantity: 2 }] } })
  expect(amended.data.amendOrder.__typename).toBe('OrderPayload')
  // Wishes of others may have given way to it.
  const heard = feed.data.changes.edges.flatMap(({ node }: { node: { externalRef: string | null } }) =>
    node.externalRef === 'FIRST-1' ? [node] : [],
  )
  const entity = { number: placed.data.placeOrder.order.number }
  expect(heard).toMatchObject([
    { kind: 'ORDER_PLACED', externalRef: 'FIRST-1', entity },
    { kind: 'ORDER_AMENDED', externalRef: 'FIRST-1', entity },
  ])
})

test('an order of UBL is placed, and what left is a despatch advice', async () => {
  // What was planned for the day before was taken as done.
  const { on } = await client.fact.findFirstOrThrow({ where: { kind: 'DISPATCHED', replacedById: null } })
  dayOfCommands = on.toISOString().slice(0, 10)
  const [run] = await runCommands('documents')
  const [, answer = '', document = ''] = /^(\{.*?\})(<\?xml[\s\S]*)$/.exec(run?.stdout ?? '') ?? []
  expect(JSON.parse(answer)).toMatchObject({ externalRef: 'PO-7', outcome: 'CREATED' })
  expect(document).toContain('<cbc:LotNumberID>')
})

test('the same calls in TypeScript have the types of the schema, and do the same', async () => {
  const compiler = promisify(execFile)('npx', ['tsc', '--noEmit', '-p', 'examples/typescript'])
  const service = { address: server.address, key: keys.integrator }
  const heard = await orderAndFollow(service, 'C-101', 'FOO-FIRKIN', 'TYPED-1')
  expect(heard.map(({ kind }) => kind)).toEqual(['ORDER_PLACED', 'ORDER_AMENDED'])
  expect(heard[1]?.entity).toMatchObject({ lines: [{ quantity: 1 }, { quantity: 1 }] })
  expect((await compiler).stdout).toBe('')
})

test('a receiver of webhooks takes what is signed as ours are, and nothing else', () => {
  const [secret, body] = [newSecret(), '{"type":"ORDER_PLACED"}']
  const headers = signedHeaders({ id: 'm-1', at: new Date(), body }, [secret])
  expect(readWebhook(secret, headers, body)).toEqual({ id: 'm-1', message: { type: 'ORDER_PLACED' } })
  expect(() => readWebhook(secret, headers, `${body} `)).toThrow()
  expect(() => readWebhook(newSecret(), headers, body)).toThrow()
})

test('the commands that ask a server work: a query is answered, sheets are printed, and documents pass the check', async () => {
  const [asked, ...others] = await runCommands('server')
  expect(asked?.stdout).toContain('"revision"')
  expect(others.map(({ stderr }) => stderr)).toEqual(others.map(() => ''))
  expect(others.filter(({ stdout }) => /^Valid\. Cost /.test(stdout))).toHaveLength(1)
  const [sheets] = others.filter(({ stdout }) => stdout.startsWith('Today\n'))
  expect(sheets?.stdout).toMatch(/<title>Fill sheet<\/title>[\s\S]*\nLoad sheet: Town dray\n/)
  expect(others.filter(({ stdout }) => stdout.includes('# TYPE fillwright_http_requests_total counter'))).toHaveLength(
    1,
  )
})

const operations = graphiqlTabs(today).flatMap(({ query, headers, variables }) => {
  const user = /the (\w+) key/.exec(headers)?.[1] ?? ''
  return parse(query)
    .definitions.filter((node): node is OperationDefinitionNode => node.kind === 'OperationDefinition')
    .map(({ name, loc }) => ({ user, name: name?.value ?? '', variables, query: query.slice(loc?.start, loc?.end) }))
})

test.each(operations)('the query editor opens with $name, which works as $user', async ({ user, query, variables }) => {
  if (!isUser(user)) throw new Error(`the demo has no user "${user}"`)
  const { data, errors } = await ask(query, JSON.parse(variables), user)
  expect(errors).toBeUndefined()
  expect(JSON.stringify(data)).not.toMatch(/"issues"|"action"/)
})
