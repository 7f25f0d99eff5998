// What browsers may do with answers: no other origin reads one unless the setting names it, and each carries its guards.
import { expect, test } from 'vitest'
import { createApp } from '../../src/app.ts'
import { policyOf } from '../../src/http/browsers.ts'
import { openTestApi } from '../support/api.ts'

const { app, client, clock, keys, faults } = await openTestApi()
const SHOP = 'https://shop.example'
const open = createApp({ client, clock, onFault: (error) => faults.push(error), allowedOrigins: [SHOP] })

const json = { 'content-type': 'application/json' }
const query = (headers: Record<string, string> = {}): RequestInit => ({
  method: 'POST',
  headers: { ...json, authorization: `Bearer ${keys.sales}`, ...headers },
  body: JSON.stringify({ query: '{ distributor { name } }' }),
})
const ANSWERS: [what: string, path: string, request: RequestInit, status: number][] = [
  ['an answer', '/graphql', query(), 200],
  ['a refusal', '/graphql', query({ authorization: 'Bearer nonsense' }), 401],
  ['a request of the wrong type', '/graphql', query({ 'content-type': 'text/plain' }), 415],
  ['an address that is none', '/nowhere', {}, 404],
  ['a document that is refused', '/documents/plan.json', {}, 401],
  ['a sign of life', '/health/live', {}, 200],
  ['readiness', '/health/ready', {}, 200],
  ['a question before the question', '/graphql', { method: 'OPTIONS' }, 204],
  ['the query editor', '/graphql', { headers: { accept: 'text/html' } }, 200],
  [
    'events',
    '/graphql',
    { ...query({ accept: 'text/event-stream' }), body: JSON.stringify({ query: '{ __typename }' }) },
    200,
  ],
]

test.each(ANSWERS)(
  '%s is of the type that it says, and loads nothing from elsewhere',
  async (_what, path, request, status) => {
    const { headers, status: answered } = await app.fetch(`http://test${path}`, request)
    expect(answered).toBe(status)
    expect(headers.get('x-content-type-options')).toBe('nosniff')
    expect(headers.get('content-security-policy')).toMatch(/^default-src 'none'; .*frame-ancestors 'none'$/)
  },
)

/** The headers by which an answer lets a page of another origin read it. */
const grants = async (from: typeof app, origin: string, request: RequestInit) => {
  const { headers } = await from.fetch('http://test/graphql', {
    ...request,
    headers: { ...Object.fromEntries(new Headers(request.headers)), origin },
  })
  return Object.fromEntries([...headers].filter(([name]) => name.startsWith('access-control-')))
}
const ASKING_FIRST = {
  method: 'OPTIONS',
  headers: { 'access-control-request-method': 'POST', 'access-control-request-headers': 'authorization' },
}

test('no page of another origin may read an answer, or ask with a key, where nothing is set', async () => {
  for (const request of [query(), ASKING_FIRST]) expect(await grants(app, SHOP, request)).toEqual({})
})

test('a page of an origin that the setting names may, without cookies, and no other page', async () => {
  expect(await grants(open, SHOP, ASKING_FIRST)).toMatchObject({
    'access-control-allow-origin': SHOP,
    'access-control-allow-headers':
      'authorization, content-type, x-api-key, idempotency-key, x-request-id, traceparent',
  })
  const granted = await grants(open, SHOP, query())
  expect(granted['access-control-allow-origin']).toBe(SHOP)
  expect(granted).not.toHaveProperty('access-control-allow-credentials')
  for (const request of [query(), ASKING_FIRST])
    expect(await grants(open, 'https://other.example', request)).toEqual({})
})

test('the editor runs the scripts that it came with and no other', async () => {
  const response = await app.fetch('http://test/graphql', { headers: { accept: 'text/html' } })
  const policy = response.headers.get('content-security-policy')
  const page = await response.text()
  expect(policy).toBe(policyOf(page))
  const scripts = /script-src ([^;]*)/.exec(policy ?? '')?.[1]?.split(' ') ?? []
  expect(scripts).toHaveLength(page.split('</script>').length - 1)
  for (const source of scripts) expect(source).toMatch(/^'sha256-[A-Za-z0-9+/]{43}='$/)
  // Source: the digest of the text of one script, as the Content Security Policy (W3C, level 3, 6.7) compares it.
  expect(policyOf("<script>alert('Hello, world.');</script>")).toContain(
    "script-src 'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng=';",
  )
})
