// Requests that are wrong: unknown ids, bad pages, queries that go too deep, bodies that are too large. Each gets an error
// that says what to do; nothing is written, and the server keeps serving.
import { afterEach, beforeEach, expect, test } from 'vitest'
import { z } from 'zod'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { MAX_BODY_BYTES } from '../../src/schema/limits.ts'
import { openTestApi } from '../support/api.ts'

const { app, ask, data, faults, revision, client, keys } = await openTestApi()
const site = await client.site.findFirstOrThrow()
const idOf = (kind: string, { id }: { id: string }) => ({ id: encodeGlobalId(kind, id) })

let before: number
beforeEach(async () => {
  before = await revision()
})
afterEach(async () => {
  expect(await revision(), 'nothing was written').toBe(before)
  expect(faults, 'nothing unexpected happened').toEqual([])
  expect(await data('{ distributor { name } }')).toEqual({ distributor: { name: expect.any(String) } })
})

test('unknown ids, and text that is no id', async () => {
  const look = 'query ($by: ThingRef!) { vessel(by: $by) { name } }'
  for (const by of [{ externalRef: 'NONE' }, { id: 'none' }, idOf('Vessel', { id: 'none' }), idOf('Site', site)]) {
    const { data, errors } = await ask(look, { by })
    expect(data).toEqual({ vessel: null })
    expect(errors?.[0]?.extensions).toMatchObject({ code: 'NO_SUCH_THING', action: expect.any(String) })
  }
  const node = 'query ($id: ID!) { node(id: $id) { id } }'
  expect((await ask(node, { id: 'nonsense' })).errors?.[0]?.extensions).toMatchObject({ code: 'BAD_ID' })
  expect((await ask(node, { id: encodeGlobalId('Nonsense', '1') })).errors?.[0]?.extensions).toMatchObject({
    code: expect.stringMatching(/^BAD_/),
  })
  const many = Array.from({ length: 101 }, () => encodeGlobalId('Site', site.id))
  expect(
    (await ask('query ($ids: [ID!]!) { nodes(ids: $ids) { id } }', { ids: many })).errors?.[0]?.extensions,
  ).toMatchObject({
    code: 'TOO_MANY',
  })
})

test('pages that are none', async () => {
  for (const args of ['after: "nonsense"', 'before: "R1BDOko6WyJcdTAwMDAiLCJcdTAwMDAiXQ=="']) {
    const { errors } = await ask(`{ vessels(${args}) { edges { node { id } } } }`)
    expect(errors?.[0]?.extensions, args).toMatchObject({ code: 'BAD_CURSOR' })
  }
  for (const args of ['first: -1', 'last: -3', 'first: 100000', 'first: 2, last: 2']) {
    const { errors } = await ask(`{ vessels(${args}) { edges { node { id } } } }`)
    expect(errors?.[0]?.extensions, args).toMatchObject({ code: expect.stringMatching(/^(OUT_OF_RANGE|NOT_BOTH)$/) })
  }
})

const nested = (levels: number, open: string, close: string, core: string) =>
  open.repeat(levels) + core + close.repeat(levels)

test.each([
  ['nested more deeply than can be parsed', nested(20_000, '{a', '}', ''), 'QUERY_TOO_DEEP'],
  [
    'with lists in lists without end',
    `{ vessels(first: ${nested(20_000, '[', ']', '1')}) { totalCount } }`,
    'QUERY_TOO_DEEP',
  ],
  ['of thirty thousand words', `{ ${'a '.repeat(30_000)} }`, 'QUERY_TOO_LARGE'],
  [
    'with a thousand other names for one field',
    `{ ${Array.from({ length: 1000 }, (_, n) => `a${n}: distributor { name }`).join(' ')} }`,
    'QUERY_TOO_LARGE',
  ],
  [
    'that goes round in circles',
    `{ site(by: { externalRef: "x" }) { id } vessels { edges { node { site { ...S } } } } } fragment S on Site { id ...S }`,
    'BAD_QUERY',
  ],
  ['that is no GraphQL', '{ vessels ', 'BAD_QUERY'],
  ['for a field that is not there', '{ vessels { moon } }', 'BAD_QUERY'],
])('a query %s', async (_words, query, code) => {
  const { errors, data } = await ask(query)
  expect(data ?? null).toBeNull()
  expect(errors?.[0]?.extensions).toMatchObject({ code, action: expect.any(String) })
})

test('a query that goes too deep or fetches too much is refused before it is run', async () => {
  const deep = `{ beers { edges { node { ${nested(8, 'packs { beer { ', '} }', 'id')} } } } }`
  expect((await ask(deep)).errors?.[0]?.extensions).toMatchObject({ code: 'QUERY_TOO_DEEP' })
  const wide =
    '{ beers { edges { node { packs { beer { packs { beer { packs { beer { packs { beer { id name } } } } } } } } } } } }'
  expect((await ask(wide)).errors?.[0]?.extensions).toMatchObject({ code: 'QUERY_TOO_COSTLY' })
})

test('requests that never come to GraphQL are refused in the shape of all other refusals', async () => {
  const send = async (path: string, init: RequestInit & { headers?: Record<string, string> }) => {
    const json = { 'content-type': 'application/json', authorization: `Bearer ${keys.admin}` }
    const response = await app.fetch(`http://test${path}`, { ...init, headers: { ...json, ...init.headers } })
    return { status: response.status, ...z.object({ errors: z.unknown() }).parse(await response.json()) }
  }
  const post = (body: string, headers = {}) => send('/graphql', { method: 'POST', body, headers })
  const refused = (status: number, code = 'BAD_REQUEST') => ({
    status,
    errors: [
      {
        message: expect.stringMatching(/\.$/),
        extensions: { code, kind: expect.stringMatching(/^[A-Z_]+$/), action: expect.stringMatching(/\.$/) },
      },
    ],
  })
  const huge = JSON.stringify({ query: '{ __typename }', variables: { a: 'x'.repeat(MAX_BODY_BYTES) } })
  expect(await post(huge)).toEqual(refused(413, 'REQUEST_TOO_LARGE'))
  expect(await post('{"query": ')).toEqual(refused(400))
  expect(await post('[]')).toEqual(refused(400))
  expect(await post('{"query": 3}')).toMatchObject({ status: 400, errors: [{ extensions: { code: 'BAD_REQUEST' } }] })
  expect(await post('a,b', { 'content-type': 'text/csv' })).toEqual(refused(415, 'WRONG_CONTENT_TYPE'))
  expect(await post('{"query": "{ __typename }"}', { accept: 'text/csv' })).toEqual(refused(406, 'WRONG_ANSWER_TYPE'))
  expect(await send('/graphql', { method: 'PUT', body: '{}' })).toEqual(refused(405, 'WRONG_METHOD'))
  expect(await send('/graph', {})).toEqual(refused(404, 'NO_SUCH_ADDRESS'))
})

test('a field of a query that fails takes no other with it', async () => {
  const { data: answered, errors } = await ask(`{
    distributor { name }
    plan(id: "nonsense") { id } node(id: "nonsense") { id } nodes(ids: ["nonsense"]) { id }
    order(by: { id: "nonsense" }) { id }
    orders(filter: { account: { id: "nonsense" } }) { totalCount }
    vessels(after: "nonsense") { totalCount }
    availability(account: { id: "nonsense" }, from: "2027-03-02", to: "2027-03-01") { revision }
    promise(input: { account: { id: "nonsense" }, lines: [] }) { revision }
  }`)
  const failed = ['plan', 'node', 'nodes', 'order', 'orders', 'vessels', 'availability', 'promise']
  expect(answered).toEqual({
    distributor: { name: expect.any(String) },
    ...Object.fromEntries(failed.map((field) => [field, field === 'nodes' ? [null] : null])),
  })
  expect(errors?.map(({ path }) => path?.[0]).sort()).toEqual(failed.sort())
  for (const { extensions } of errors ?? [])
    expect(extensions).toMatchObject({ code: expect.any(String), kind: expect.any(String), action: expect.any(String) })
})

test('days that end before they begin are an error, not an empty list', async () => {
  const orders = '{ orders(filter: { serveFrom: "2027-03-09", serveTo: "2027-03-01" }) { totalCount } }'
  const reversed = (path: string) => [{ extensions: { issues: [{ path, code: 'SPAN_REVERSED' }] } }]
  expect((await ask(orders)).errors).toMatchObject(reversed('filter.serveTo'))
})
