// Who comes in and what they may do.
import { expect, test } from 'vitest'
import { DEMO_USERS } from '../../src/resolvers/access/demo-keys.ts'
import { encodeGlobalId } from '../../src/resolvers/global-id.ts'
import { DEMO_ID, openTestApi } from '../support/api.ts'

const { app, ask, data, keys, client, clock, revision } = await openTestApi()

const ME = '{ distributor { name } }'
const CREATE_KEY = `mutation ($input: CreateApiKeyInput!) { createApiKey(input: $input) {
  __typename ... on CreateApiKeyPayload { key apiKey { id name scopes revokedAt } } ... on InvalidInput { issues { path code } }
  ... on Forbidden { scope code action } } }`
const REVOKE_KEY = `mutation ($id: ID!) { revokeApiKey(input: { id: $id }) {
  __typename ... on ApiKeyPayload { apiKey { revokedAt } } ... on NotFound { code } } }`

test('a good key comes in as a bearer token or as x-api-key', async () => {
  for (const headers of [{ authorization: `Bearer ${keys.sales}` }, { 'x-api-key': keys.sales }]) {
    const response = await app.fetch('http://test/graphql', {
      method: 'POST',
      headers: { 'content-type': 'application/json', ...headers },
      body: JSON.stringify({ query: ME }),
    })
    expect(await response.json()).toEqual({ data: { distributor: { name: expect.any(String) } } })
  }
})

test('without a key nothing can be read', async () => {
  expect((await ask('{ __schema { queryType { name } } }', {}, null)).status).toBe(401)
  const { status, errors } = await ask(ME, {}, null)
  expect(status).toBe(401)
  expect(errors?.[0]?.extensions).toMatchObject({ code: 'KEY_MISSING', action: expect.stringContaining('Bearer') })
})

test('without a key a query of many fields is refused once', async () => {
  const names = Array.from({ length: 299 }, (_, n) => `a${n}: distributor { name }`).join(' ')
  for (const query of [`{ ${names} }`, `{ ...F } fragment F on Query { ${names} }`, `{ __typename ${names} }`]) {
    const { status, errors } = await ask(query, {}, null)
    expect([status, errors]).toMatchObject([401, [{ extensions: { code: 'KEY_MISSING' } }]])
    expect(errors).toHaveLength(1)
  }
  expect((await ask('{ ...F } fragment F on Query { __typename }', {}, null)).data).toEqual({ __typename: 'Query' })
})

test('a wrong key is refused whatever it asks', async () => {
  for (const key of ['fw_wrong', `${keys.admin}x`, '']) {
    const { status, errors, data } = await ask('{ __typename }', {}, { key })
    expect(status).toBe(401)
    expect(data ?? null).toBeNull()
    expect(errors?.[0]?.extensions).toMatchObject({ code: 'KEY_UNKNOWN' })
  }
})

test('the records keep no key, only its hash', async () => {
  const rows = JSON.stringify(await client.apiKey.findMany())
  for (const key of Object.values(keys)) expect(rows).not.toContain(key)
})

test('a mutation without its scope answers Forbidden, names the scope, and writes nothing', async () => {
  const before = await revision()
  const { createBeer } = await data(
    `mutation { createBeer(input: { name: "B", style: "S", fermentHours: 1, restHours: 1, dryHopHours: 0, crashHours: 1,
      maxTankDays: 1, brightDays: 1, maxBrightDays: 1, lossFraction: 0 }) {
      __typename ... on Forbidden { scope code message action } } }`,
    {},
    'sales',
  )
  expect(createBeer).toEqual({
    __typename: 'Forbidden',
    scope: 'setup:write',
    code: 'SCOPE_MISSING',
    message: expect.stringContaining('setup:write'),
    action: expect.any(String),
  })
  expect(await revision()).toBe(before)
})

test('a query without its scope is refused by name', async () => {
  const { errors } = await ask('{ apiKeys { totalCount } }', {}, 'planner')
  expect(errors?.[0]).toMatchObject({
    path: ['apiKeys'],
    extensions: { code: 'SCOPE_MISSING', kind: 'FORBIDDEN' },
    message: expect.stringContaining('keys:write'),
  })
  const id = encodeGlobalId('ApiKey', 'sales')
  expect(
    (await ask('query ($id: ID!) { node(id: $id) { id } }', { id }, 'sales')).errors?.[0]?.extensions,
  ).toMatchObject({
    code: 'SCOPE_MISSING',
  })
})

test('a key gives only scopes that it has, and is good until it is revoked', async () => {
  const asked = { name: 'till', scopes: ['orders:read', 'moon:read'] }
  expect((await data(CREATE_KEY, { input: asked })).createApiKey).toEqual({
    __typename: 'InvalidInput',
    issues: [{ path: 'scopes[1]', code: 'UNKNOWN_SCOPE' }],
  })
  expect((await data(CREATE_KEY, { input: { name: 'till', scopes: [] } })).createApiKey).toEqual({
    __typename: 'InvalidInput',
    issues: [{ path: 'scopes', code: 'BAD_LENGTH' }],
  })
  const made = await data(CREATE_KEY, { input: { name: 'maker', scopes: ['keys:write'] } })
  const { key, apiKey } = made.createApiKey as { key: string; apiKey: { id: string } }
  const more = { input: { name: 'more', scopes: ['orders:write'] } }
  expect((await data(CREATE_KEY, more, { key })).createApiKey).toEqual({
    __typename: 'InvalidInput',
    issues: [{ path: 'scopes[0]', code: 'SCOPE_NOT_YOURS' }],
  })
  expect((await data(REVOKE_KEY, { id: apiKey.id })).revokeApiKey).toEqual({
    __typename: 'ApiKeyPayload',
    apiKey: { revokedAt: clock.now().toISOString() },
  })
  expect((await ask(ME, {}, { key })).status).toBe(401)
})

test('the users of the demo have the scopes of their work', async () => {
  const rows = await client.apiKey.findMany({ where: { name: { startsWith: 'Demo: ' } } })
  expect(Object.fromEntries(rows.map(({ id, scopes }) => [id, scopes]))).toEqual(DEMO_USERS)
})

test('things are fetched by their ids, each in its place, and what is not there leaves its place empty', async () => {
  const sites = await client.site.findMany({ where: { distributorId: DEMO_ID }, take: 1 })
  const vessels = await client.vessel.findMany({ where: { distributorId: DEMO_ID }, take: 2 })
  const here = [
    ...vessels.map(({ id }) => ({ __typename: 'Vessel', id: encodeGlobalId('Vessel', id) })),
    ...sites.map(({ id }) => ({ __typename: 'Site', id: encodeGlobalId('Site', id) })),
  ]
  const ids = [...here.map(({ id }) => id), encodeGlobalId('Vessel', 'none'), here[1]?.id]
  expect(await data('query ($ids: [ID!]!) { nodes(ids: $ids) { __typename id } }', { ids })).toEqual({
    nodes: [...here, null, here[1]],
  })
})

test('one of several ids that is none leaves its place empty, with an error of its own', async () => {
  const site = await client.site.findFirstOrThrow({ where: { distributorId: DEMO_ID } })
  const id = encodeGlobalId('Site', site.id)
  const asked = await ask('query ($ids: [ID!]!) { nodes(ids: $ids) { id } }', { ids: [id, 'nonsense', id] })
  expect(asked.data).toEqual({ nodes: [{ id }, null, { id }] })
  expect(asked.errors).toMatchObject([{ path: ['nodes', 1], extensions: { issues: [{ code: 'BAD_ID' }] } }])
})
