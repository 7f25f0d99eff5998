// Subscriptions over HTTP: so many for a key, and none longer than its key is good.
import { expect, test } from 'vitest'
import { z } from 'zod'
import { openTestApi } from '../support/api.ts'
import { listenFor, subscribe } from '../support/risk-news.ts'

const { app, data, keys, faults, revision } = await openTestApi()
const QUERY = 'subscription { promiseAtRisk { revision } }'

async function open(key: string) {
  const leaving = new AbortController()
  const response = await subscribe(app, QUERY, key, leaving.signal)
  return { response, leave: () => leaving.abort() }
}

test('a sixth subscription of a key is refused with a code and when to come again; one that ends makes room', async () => {
  const opened = await Promise.all(Array.from({ length: 5 }, () => open(keys.sales)))
  const refused = await (await open(keys.sales)).response.text()
  expect(refused).toContain('"code":"TOO_MANY_STREAMS"')
  expect(refused).toContain('"retryAfterSeconds":')
  const other = await open(keys.integrator)
  expect(other.response.status).toBe(200)
  opened[0]?.leave()
  const again = await open(keys.sales)
  const { heard } = listenFor(again.response, '\n')
  expect(await heard).not.toContain('TOO_MANY_STREAMS')
  for (const each of [...opened, other, again]) each.leave()
  expect(faults).toEqual([])
})

test('a subscription ends when its key is revoked', async () => {
  const made = await data(
    `mutation { createApiKey(input: { name: "Shop", scopes: ["orders:read"] }) { ... on CreateApiKeyPayload { key apiKey { id } } } }`,
  )
  const shape = z.object({ createApiKey: z.object({ key: z.string(), apiKey: z.object({ id: z.string() }) }) })
  const { key, apiKey } = shape.parse(made).createApiKey
  const { response } = await open(key)
  const text = response.text()
  await data('mutation ($id: ID!) { revokeApiKey(input: { id: $id }) { __typename } }', apiKey)
  expect(await text).toContain('"code":"STREAM_KEY_ENDED"')
  expect(await text).toContain('event: complete')
  expect(faults).toEqual([])
})

test('a revision that the records do not have is refused with what to do', async () => {
  const query = `subscription { promiseAtRisk(after: ${(await revision()) + 1}) { revision } }`
  const text = await (await subscribe(app, query, keys.sales)).text()
  expect(text).toContain('"code":"NEWS_GONE"')
  expect(text).toContain('anew')
})
