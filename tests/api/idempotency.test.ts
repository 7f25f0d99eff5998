// Requests with the header Idempotency-Key: the cases of draft-ietf-httpapi-idempotency-key-header-07, sections 2.1, 2.6 and 2.7.
import { expect, test, vi } from 'vitest'
import { z } from 'zod'
import { createApp } from '../../src/app.ts'
import { Busy } from '../../src/errors.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import { WaitingWriters } from '../../src/resolvers/waiting-writers.ts'
import { DEMO_ID, openTestApi } from '../support/api.ts'

const { app, keys, client, clock, scenario, revision, jobs, data } = await openTestApi({ planned: true })
const other = createApp({ client, clock, jobs, onFault: () => undefined })

const serveOn = addDays(scenario.problem.today, 12)
const lines = [{ pack: { externalRef: 'FOO-FIRKIN' }, quantity: 1 }]
const PLACE = `mutation ($input: PlaceOrderInput!) { placeOrder(input: $input) { __typename
  ... on OrderPayload { revision order { id number status lines { id quantity } } } ... on Conflict { code } } }`
const order = { account: { externalRef: 'C-101' }, serveOn, accept: 'AS_DEMAND', lines }
const BEER = `mutation ($input: CreateContainerTypeInput!) { createContainerType(input: $input) { __typename
  ... on ContainerTypePayload { revision containerType { id name } } ... on Conflict { code } } }`
const DRAFT = `mutation { draftPlan(input: { effort: { steps: 1 } }) { ... on PlanPayload { plan { id } } } }`
const CREATE_KEY = `mutation { createApiKey(input: { name: "till", scopes: ["orders:read"] }) {
  ... on CreateApiKeyPayload { key apiKey { id } } } }`
const RESULTS = '... on ImportPayload { results { outcome errors { code } } }'
const IMPORT_ORDERS = `mutation ($input: ImportOrdersInput!) { importOrders(input: $input) { ${RESULTS} } }`
const IMPORT_ACCOUNTS = `mutation ($input: ImportAccountsInput!) { importAccounts(input: $input) { ${RESULTS} } }`
const type = { name: 'Half firkin', kind: 'CASK', capacityLitres: 20, externalRef: 'HALF' }

const answerShape = z.looseObject({
  data: z.record(z.string(), z.unknown()).nullish(),
  errors: z.array(z.looseObject({ extensions: z.looseObject({ code: z.string() }) })).optional(),
})

async function send(query: string, variables: object, header: string | undefined, { to = app, key = keys.admin } = {}) {
  const response = await to.fetch('http://test/graphql', {
    method: 'POST',
    headers: {
      ...{ 'content-type': 'application/json', authorization: `Bearer ${key}` },
      ...(header === undefined ? {} : { 'idempotency-key': header }),
    },
    body: JSON.stringify({ query, variables }),
  })
  const text = await response.text()
  const { errors } = answerShape.parse(JSON.parse(text))
  return { status: response.status, text, code: errors?.[0]?.extensions.code }
}

/** When the claim of a key ends, in milliseconds. */
const claimOf = async (key: string) => {
  const row = await client.idempotencyKey.findFirstOrThrow({ where: { key: { endsWith: ` ${key}` } } })
  return row.claimedUntil?.getTime() ?? 0
}

/** Takes the kept answers away, as where the server ended between the commit and the answer. */
const loseAnswers = () => client.$executeRaw`UPDATE "IdempotencyKey" SET "response" = NULL, "claimedUntil" = NULL`

test('the same request under one key is carried out once, and answered alike on every server and after changes', async () => {
  const before = await client.order.count()
  const first = await send(PLACE, { input: order }, '"order-1"')
  expect(first.text).toContain('OrderPayload')
  const { id } = await client.order.findFirstOrThrow({ orderBy: { number: 'desc' } })
  await client.order.update({ where: { distributorId_id: { distributorId: DEMO_ID, id } }, data: { note: 'x' } })
  expect(await send(PLACE, { input: order }, '"order-1"')).toEqual(first)
  expect(await send(PLACE, { input: order }, '"order-1"', { to: other })).toEqual(first)
  expect(await client.order.count()).toBe(before + 1)
  expect((await send(PLACE, { input: order }, '"order-2"')).text).not.toBe(first.text)
})

test('a key with another payload is refused with 422, and the layout of a query and the order of variables are no payload', async () => {
  const first = await send(PLACE, { input: order }, '"order-3"')
  expect(await send(PLACE, { input: { ...order, note: 'other' } }, '"order-3"')).toMatchObject({
    ...{ status: 422, code: 'IDEMPOTENCY_KEY_REUSED' },
  })
  const turned = Object.fromEntries(Object.entries(order).reverse())
  expect(await send(PLACE.replaceAll('\n', ' '), { input: turned }, '"order-3"')).toEqual(first)
})

test('a header that is no structured string, several fields, and a query are refused with 400', async () => {
  for (const header of ['order', '""', '"a"b"', `"${'a'.repeat(256)}"`])
    expect(await send(PLACE, { input: order }, header)).toMatchObject({ status: 400, code: 'BAD_IDEMPOTENCY_KEY' })
  for (const query of ['{ __typename }', `mutation { a: ${DRAFT.slice(11, -2)} b: ${DRAFT.slice(11, -2)} }`])
    expect(await send(query, {}, '"several"')).toMatchObject({ status: 400, code: 'NOT_ONE_MUTATION' })
})

test('an API key can require the header: mutations without it are refused with 400, and nothing is written', async () => {
  const input = { name: 'strict', scopes: ['orders:write', 'orders:read'], requiresIdempotencyKey: true }
  const made = await data(
    'mutation ($input: CreateApiKeyInput!) { createApiKey(input: $input) { ... on CreateApiKeyPayload { key } } }',
    { input },
  )
  const { key } = z.object({ key: z.string() }).parse(made.createApiKey)
  const before = await revision()
  expect(await send(PLACE, { input: order }, undefined, { key })).toMatchObject({
    ...{ status: 400, code: 'IDEMPOTENCY_KEY_MISSING' },
  })
  expect(await revision()).toBe(before)
  expect((await send('{ __typename }', {}, undefined, { key })).status).toBe(200)
  expect((await send(PLACE, { input: order }, '"order-1"', { key })).text).toContain('OrderPayload')
})

test('while a request is worked on the same one is refused with 409; one whose server ended is taken over', async () => {
  const first = await send(PLACE, { input: order }, '"order-4"')
  const claimedUntil = new Date(clock.now().getTime() + 1000)
  await client.$executeRaw`UPDATE "IdempotencyKey" SET "response" = NULL, "claimedUntil" = ${claimedUntil} WHERE "key" LIKE '%order-4'`
  expect(await send(PLACE, { input: order }, '"order-4"')).toMatchObject({
    status: 409,
    code: 'IDEMPOTENT_IN_PROGRESS',
  })
  clock.set(claimedUntil)
  expect(await send(PLACE, { input: order }, '"order-4"')).toEqual(first)
})

test('a request that takes longer than a claim holds keeps it: the same one is refused all the while', async () => {
  vi.useFakeTimers({ toFake: ['setInterval', 'clearInterval'] })
  let goOn: (() => void) | undefined
  const run = vi.spyOn(WaitingWriters.prototype, 'run').mockImplementationOnce(async (_, write) => {
    await new Promise<void>((resolve) => {
      goOn = resolve
    })
    return write()
  })
  try {
    const slow = send(PLACE, { input: order }, '"long"')
    await vi.waitUntil(() => goOn, { timeout: 30_000 })
    for (let seconds = 0; seconds < 150; seconds += 25) {
      clock.set(new Date(clock.now().getTime() + 25_000))
      await vi.advanceTimersByTimeAsync(25_000)
      await vi.waitUntil(async () => (await claimOf('long')) > clock.now().getTime() + 30_000, { timeout: 30_000 })
      expect(await send(PLACE, { input: order }, '"long"')).toMatchObject({ code: 'IDEMPOTENT_IN_PROGRESS' })
    }
    goOn?.()
    const answer = await slow
    expect(answer.text).toContain('OrderPayload')
    expect(vi.getTimerCount()).toBe(0)
    expect(await send(PLACE, { input: order }, '"long"')).toEqual(answer)
  } finally {
    run.mockRestore()
    vi.useRealTimers()
  }
})

test.each([
  ['an order', PLACE, { input: { ...order, externalRef: 'BUSY' } }, 'OrderPayload'],
  ['an import of orders', IMPORT_ORDERS, { input: { orders: [{ ...order, externalRef: 'BUSY-2' }] } }, 'CREATED'],
  [
    'an import of set-up',
    IMPORT_ACCOUNTS,
    { input: { accounts: [{ name: 'B', externalRef: 'B', routes: [] }] } },
    'CREATED',
  ],
])('%s that could not be written for now is written when it is sent again', async (name, query, variables, done) => {
  const transaction = vi.spyOn(client, '$transaction').mockRejectedValueOnce(new Busy(1))
  const first = await send(query, variables, `"busy ${name}"`)
  transaction.mockRestore()
  expect(first.text).toMatch(/BUSY|Busy/)
  const second = await send(query, variables, `"busy ${name}"`)
  expect(second.text).toContain(done)
  expect(await send(query, variables, `"busy ${name}"`)).toEqual(second)
})

test('what found no place in the line of writers is written when it is sent again', async () => {
  const run = vi.spyOn(WaitingWriters.prototype, 'run').mockRejectedValueOnce(new Busy(1))
  expect((await send(PLACE, { input: order }, '"in line"')).text).toContain('Busy')
  run.mockRestore()
  expect((await send(PLACE, { input: order }, '"in line"')).text).toContain('OrderPayload')
})

test.each([
  ['an order', PLACE, { input: { ...order, externalRef: 'LOST' } }],
  ['set-up', BEER, { input: type }],
  ['a draft', DRAFT, {}],
])(
  '%s whose answer was lost after the commit is answered all the same, and not written again',
  async (name, query, variables) => {
    const first = await send(query, variables, `"lost ${name}"`)
    await loseAnswers()
    const [before, plans] = [await revision(), await client.plan.count()]
    expect(await send(query, variables, `"lost ${name}"`, { to: other })).toEqual(first)
    expect([await revision(), await client.plan.count()]).toEqual([before, plans])
  },
)

test('two that come at once are carried out once', async () => {
  const before = await client.order.count()
  const answers = await Promise.all([app, other, app].map((to) => send(PLACE, { input: order }, '"at once"', { to })))
  expect(answers.filter(({ status }) => status === 200).length).toBeGreaterThan(0)
  expect(answers.every(({ status }) => status === 200 || status === 409)).toBe(true)
  expect(await client.order.count()).toBe(before + 1)
})

test('a refusal is given again, too', async () => {
  const input = { ...order, externalRef: 'LOST' }
  const first = await send(PLACE, { input }, '"taken"')
  expect(first.text).toContain('EXTERNAL_REF_TAKEN')
  expect(await send(PLACE, { input }, '"taken"')).toEqual(first)
})

test('a secret is not kept: the second request says that the first was carried out', async () => {
  const first = await send(CREATE_KEY, {}, '"secret"')
  expect(first.text).toContain('fw_')
  expect(await send(CREATE_KEY, {}, '"secret"')).toMatchObject({ status: 409, code: 'IDEMPOTENT_SECRET_GONE' })
  expect(JSON.stringify(await client.idempotencyKey.findMany())).not.toContain('fw_')
  expect(await client.apiKey.count({ where: { name: 'till' } })).toBe(1)
})
