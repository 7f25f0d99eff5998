// One HTTP status for one code, in both directions: every code that refuses a whole request is provoked and comes with the
// status of the catalogue, and whatever else is refused comes with 200.
import { expect, test } from 'vitest'
import { z } from 'zod'
import { createApp } from '../../src/app.ts'
import { ERROR_CATALOGUE, type ErrorCode, isErrorCode } from '../../src/error-catalogue.ts'
import { documentHash } from '../../src/http/trusted-documents.ts'
import { hashKey } from '../../src/resolvers/access/authenticate.ts'
import { MAX_BODY_BYTES } from '../../src/schema/limits.ts'
import { DEMO_ID, openTestApi } from '../support/api.ts'

const { app, client, clock, keys } = await openTestApi()
const broken = createApp({
  client,
  clock: {
    now: () => {
      throw new RangeError('the clock stands')
    },
  },
  onFault: () => undefined,
})

/** The API over a database that fails each query so. */
const overFailing = (state: string) => {
  const $queryRaw = () =>
    client.$executeRawUnsafe(`DO $$ BEGIN RAISE EXCEPTION 'no' USING ERRCODE = '${state}'; END $$`)
  return createApp({
    client: new Proxy(client, { get: (of, name) => (name === '$queryRaw' ? $queryRaw : Reflect.get(of, name)) }),
    clock,
    onFault: () => undefined,
  })
}

const MINE = '{ distributor { name } }'
const trusting = createApp({
  ...{ client, clock, onFault: () => undefined },
  trusted: new Map([[documentHash(MINE), MINE]]),
  onlyTrustedDocuments: true,
})

const ADMIN = { authorization: `Bearer ${keys.admin}` }
const SALES = { authorization: `Bearer ${keys.sales}` }
/** A key that may write what happened, and read no plan. */
const FLOOR_ONLY = { 'x-api-key': 'fw_floor_only' }
await client.apiKey.create({
  data: {
    ...{
      distributorId: DEMO_ID,
      id: 'floor-only',
      name: 'Floor only',
      scopes: ['floor:write'],
      createdAt: clock.now(),
    },
    hash: hashKey('fw_floor_only'),
  },
})
for (const [key, ended] of [
  ['fw_revoked', { revokedAt: clock.now() }],
  ['fw_expired', { expiresAt: clock.now() }],
  ['fw_strict', { requiresIdempotencyKey: true }],
] as const) {
  const createdAt = new Date(clock.now().getTime() - 1000)
  const data = {
    distributorId: DEMO_ID,
    id: key,
    name: key,
    scopes: ['plan:read', 'orders:write'],
    createdAt,
    ...ended,
  }
  await client.apiKey.create({ data: { ...data, hash: hashKey(key) } })
}
const PROMISE =
  '{ promise(input: { account: { externalRef: "C-101" }, lines: [{ pack: { externalRef: "FOO-FIRKIN" }, quantity: 1 }] }) { revision } }'
const ONCE = { ...ADMIN, 'idempotency-key': '"once"' }
const MAKE_KEY =
  'mutation { createApiKey(input: { name: "k", scopes: ["plan:read"] }) { ... on CreateApiKeyPayload { revision } } }'
const REVOKE_NONE = 'mutation { revokeApiKey(input: { id: "x" }) { __typename } }'
/** Asks twice under one key, with something in between; answers the second time. */
const twice =
  (key: string, query: string, again = query, between = async () => {}) =>
  async (accept: string) => {
    const headers = { ...ADMIN, 'idempotency-key': `"${key} ${accept}"` }
    await ask(query, headers)(accept)
    await between()
    return ask(again, headers)(accept)
  }
const unanswered = async () => {
  const claimedUntil = new Date(clock.now().getTime() + 1000)
  await client.$executeRaw`UPDATE "IdempotencyKey" SET "response" = NULL, "claimedUntil" = ${claimedUntil}`
}
const quick = (requests: number, cost: number) =>
  createApp({ client, clock, onFault: () => undefined, keyQuotas: { requests, cost } })
const [fewRequests, littleCost] = [quick(0, 1), quick(100, 1)]
type Ask = [code: ErrorCode, send: (accept: string) => Promise<Response> | Response]

const post =
  (body: string, headers: Record<string, string> = ADMIN, to: typeof app = app) =>
  (accept: string) =>
    to.fetch('http://test/graphql', {
      method: 'POST',
      headers: { 'content-type': 'application/json', accept, ...headers },
      body,
    })
const ask = (query: string, headers: Record<string, string> = ADMIN, to: typeof app = app) =>
  post(JSON.stringify({ query }), headers, to)
const at =
  (path: string, init: RequestInit = {}, headers: Record<string, string> = ADMIN) =>
  (accept: string) =>
    app.fetch(`http://test${path}`, { ...init, headers: { accept, ...headers } })

const sendXml = (body: string, headers: Record<string, string> = {}) =>
  at('/import/ubl', { method: 'POST', body }, { ...ADMIN, 'content-type': 'application/xml', ...headers })

const WHOLE: Ask[] = [
  ['BAD_REQUEST', post('{"query": ')],
  ['BAD_REQUEST', post('[]')],
  ['BAD_REQUEST', post('{"query": 3}')],
  ['BAD_REQUEST', post('{}')],
  ['BAD_REQUEST', post('{"query": "{ __typename }", "moon": 1}')],
  ['BAD_REQUEST', at('/graphql?query=%7B__typename%7D&variables=%7B')],
  ['BAD_REQUEST', at('/graphql')],
  ['REQUEST_TOO_LARGE', post(' '.repeat(MAX_BODY_BYTES + 1))],
  ['WRONG_METHOD', at('/graphql', { method: 'PUT', body: '{}' })],
  [
    'WRONG_METHOD',
    at(`/graphql?query=${encodeURIComponent('mutation { revokeApiKey(input: { id: "x" }) { __typename } }')}`),
  ],
  ['WRONG_CONTENT_TYPE', post('a,b', { ...ADMIN, 'content-type': 'text/csv' })],
  ['WRONG_ANSWER_TYPE', ask('{ __typename }', { ...ADMIN, accept: 'text/csv' })],
  ['WRONG_METHOD', at('/documents/plan.json', { method: 'DELETE' })],
  ['NO_SUCH_ADDRESS', at('/graph')],
  ['NO_SUCH_ADDRESS', at('/documents/moon.json')],
  ['NO_DOCUMENT', at('/documents/plan.json')],
  ['DOCUMENT_MOVED', at('/documents/problem.json?revision=moon')],
  ['DOCUMENT_FORBIDDEN', at('/documents/problem.json', {}, FLOOR_ONLY)],
  ['KEY_TOO_STRONG_FOR_ADDRESS', at('/calendars/plan.ics?site=SITE-1&key=fw_floor_only')],
  ['XML_UNREADABLE', sendXml('beer, please')],
  ['XML_UNREADABLE', sendXml('<!DOCTYPE a><a/>')],
  ['NOT_AN_ORDER', sendXml('<Order/>')],
  ['WRONG_METHOD', at('/import/ubl')],
  ['WRONG_CONTENT_TYPE', sendXml('<a/>', { 'content-type': 'text/csv' })],
  ['REQUEST_TOO_LARGE', sendXml(' '.repeat(MAX_BODY_BYTES + 1))],
  ['BAD_IDEMPOTENCY_KEY', sendXml('<a/>', { 'idempotency-key': 'bare' })],
  ['IDEMPOTENCY_KEY_MISSING', sendXml('<a/>', { authorization: 'Bearer fw_strict' })],
  ['KEY_MISSING', at('/export/despatch-advices.json', {}, {})],
  ['WRONG_METHOD', at('/export/despatch-advices/1-2027-03-01.xml', { method: 'PUT' })],
  ['KEY_MISSING', at('/export/orders.csv', {}, {})],
  ['WRONG_METHOD', at('/export/plan.csv', { method: 'PUT' })],
  ['WRONG_METHOD', at('/import/orders.csv')],
  ['KEY_MISSING', at('/import/orders.csv', { method: 'POST', body: 'a' }, {})],
  ['WRONG_CONTENT_TYPE', at('/import/orders.csv', { method: 'POST', body: 'a' })],
  ['BAD_QUERY', ask('{ vessels ')],
  ['BAD_QUERY', ask('{ moon }')],
  ['BAD_REQUEST', post(JSON.stringify({ query: 'query A { __typename } query B { __typename }', operationName: 'C' }))],
  ['BAD_QUERY', post(JSON.stringify({ query: 'query ($id: ID!) { node(id: $id) { id } }', variables: {} }))],
  ['QUERY_TOO_DEEP', ask('{a'.repeat(200))],
  ['QUERY_TOO_DEEP', ask(`{ beers { edges { node { ${'packs { beer { '.repeat(8)} id ${'} }'.repeat(8)} } } } }`)],
  ['QUERY_TOO_DEEP', ask(`{ __schema { types { ${'ofType { '.repeat(20)} name ${'} '.repeat(20)} } } }`)],
  ['QUERY_TOO_LARGE', ask(`{ __typename }#${'x'.repeat(66_000)}`)],
  ['QUERY_TOO_LARGE', ask(`{ ${Array.from({ length: 1000 }, (_, n) => `a${n}: distributor { name }`).join(' ')} }`)],
  [
    'QUERY_TOO_COSTLY',
    ask(
      '{ beers { edges { node { packs { beer { packs { beer { packs { beer { packs { beer { id name } } } } } } } } } } } }',
    ),
  ],
  ['BAD_REQUEST', post('{}', ADMIN, trusting)],
  ['DOCUMENT_UNKNOWN', post(JSON.stringify({ documentId: `sha256:${'0'.repeat(64)}` }), ADMIN, trusting)],
  ['DOCUMENT_NOT_TRUSTED', ask(MINE, ADMIN, trusting)],
  ['KEY_MISSING', ask('{ distributor { name } }', {})],
  ['KEY_MISSING', ask('{ __typename distributor { name } }', {})],
  ['KEY_MISSING', ask('{ __schema { queryType { name } } }', {})],
  ['KEY_MISSING', ask('mutation { revokeApiKey(input: { id: "x" }) { __typename } }', {})],
  ['KEY_MISSING', at('/documents/plan.json', {}, {})],
  ['IDEMPOTENCY_KEY_MISSING', ask(REVOKE_NONE, { 'x-api-key': 'fw_strict' })],
  ['BAD_IDEMPOTENCY_KEY', ask(REVOKE_NONE, { ...ADMIN, 'idempotency-key': 'bare' })],
  ['NOT_ONE_MUTATION', ask('{ __typename }', ONCE)],
  ['IDEMPOTENT_IN_PROGRESS', twice('a', REVOKE_NONE, REVOKE_NONE, unanswered)],
  ['IDEMPOTENCY_KEY_REUSED', twice('b', REVOKE_NONE, MAKE_KEY)],
  ['IDEMPOTENT_SECRET_GONE', twice('c', MAKE_KEY)],
  ['KEY_REVOKED', ask('{ __typename }', { 'x-api-key': 'fw_revoked' })],
  ['KEY_EXPIRED', ask('{ __typename }', { 'x-api-key': 'fw_expired' })],
  ['KEY_UNKNOWN', ask('{ __typename }', { 'x-api-key': 'fw_wrong' })],
  ['KEY_REQUESTS_SPENT', ask('{ __typename }', ADMIN, fewRequests)],
  ['KEY_COST_SPENT', ask('{ distributor { name } }', ADMIN, littleCost)],
  ['UNEXPECTED', ask(PROMISE, ADMIN, broken)],
  ['DATABASE_SLOW', ask('{ __typename }', ADMIN, overFailing('57014'))],
  ['DATABASE_AWAY', ask('{ __typename }', ADMIN, overFailing('57P03'))],
]

const FIELDS: Ask[] = [
  ['SCOPE_MISSING', ask('{ apiKeys { totalCount } }', SALES)],
  ['NO_SUCH_THING', ask('{ site(by: { externalRef: "moon" }) { name } }')],
  ['BAD_ID', ask('{ node(id: "nonsense") { id } }')],
  ['SPAN_REVERSED', ask('{ orders(filter: { serveFrom: "2027-03-09", serveTo: "2027-03-01" }) { totalCount } }')],
]

const refusalShape = z.object({
  errors: z
    .array(
      z.object({
        message: z.string(),
        extensions: z.looseObject({ code: z.string(), kind: z.string(), action: z.string() }),
      }),
    )
    .min(1),
})

test.each([...WHOLE, ...FIELDS])('%s comes with its one status', async (code, send) => {
  for (const accept of ['application/graphql-response+json', 'application/json', '*/*']) {
    const response = await send(accept)
    const { errors } = refusalShape.parse(await response.json())
    expect(errors.map(({ extensions }) => extensions.code)).toContain(code)
    for (const { extensions } of errors) expect(isErrorCode(extensions.code), extensions.code).toBe(true)
    // What GraphQL finds in a query is an answer like others to those who accept application/json only, as the specification asks.
    const asked = code === 'BAD_QUERY' && accept === 'application/json' ? 200 : ERROR_CATALOGUE.get(code)?.status
    if (code === 'BAD_QUERY' && accept === '*/*') expect([200, 400]).toContain(response.status)
    else expect(response.status, accept).toBe(asked)
  }
})

/** Codes of requests that never reach the handler, which `tests/server.test.ts` provokes, and of streams: `tests/api/streams.test.ts`. */
const ELSEWHERE: readonly ErrorCode[] = [
  'HEADERS_TOO_LARGE',
  'REQUEST_TOO_SLOW',
  'TOO_MANY_CONNECTIONS',
  'TOO_MANY_STREAMS',
]

test('a database that is away says when to come again, in the answer and in its header', async () => {
  const response = await ask('{ __typename }', ADMIN, overFailing('08006'))('*/*')
  expect(response.headers.get('retry-after')).toBe('5')
  expect(await response.json()).toMatchObject({ errors: [{ extensions: { retryAfterSeconds: 5 } }] })
})

test('every code with a status of its own is provoked here, at the port or by a stream, and no other', () => {
  const own = [...ERROR_CATALOGUE].filter(([, { status }]) => status !== 200).map(([code]) => code)
  expect([...new Set([...WHOLE.map(([code]) => code), ...ELSEWHERE])].sort()).toEqual(own.sort())
  for (const [code] of FIELDS) expect(ERROR_CATALOGUE.get(code)?.status).toBe(200)
})

test('a request without a good key is shown how to send one', async () => {
  for (const send of [ask('{ distributor { name } }', {}), ask('{ __typename }', { 'x-api-key': 'fw_wrong' })]) {
    const response = await send('application/json')
    expect([response.status, response.headers.get('www-authenticate')]).toEqual([401, 'Bearer'])
  }
})

test.each([
  ['PUT', at('/graphql', { method: 'PUT', body: '{}' }), 'GET, POST'],
  ['a mutation by GET', at(`/graphql?query=${encodeURIComponent('mutation { __typename }')}`), 'POST'],
])('%s is answered with the methods that are allowed', async (_, send, allowed) => {
  const response = await send('application/json')
  expect([response.status, response.headers.get('allow')]).toEqual([405, allowed])
})
