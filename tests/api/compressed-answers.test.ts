// Answers are compressed as the client accepts it, where that is worth it.
import { brotliDecompressSync, gunzipSync } from 'node:zlib'
import { expect, test } from 'vitest'
import { chosenEncoding } from '../../src/http/encoding.ts'
import { openTestApi } from '../support/api.ts'

const { app, keys } = await openTestApi()
const LONG = '{ accounts(first: 100) { edges { node { id name externalRef receivesWeekdays } } } }'
const ask = (query: string, headers: Record<string, string>) =>
  app.fetch('http://test/graphql', {
    method: 'POST',
    headers: { 'content-type': 'application/json', authorization: `Bearer ${keys.sales}`, ...headers },
    body: JSON.stringify({ query }),
  })
const bytesOf = async (response: Response) => Buffer.from(await response.arrayBuffer())

test('a long answer is a fraction of its length, and says the same in each encoding', async () => {
  const plain = await bytesOf(await ask(LONG, {}))
  expect(plain.length).toBeGreaterThan(3000)
  for (const [accepted, encoding, open] of [
    ['gzip, deflate, br', 'br', brotliDecompressSync],
    ['gzip', 'gzip', gunzipSync],
  ] as const) {
    const answer = await ask(LONG, { 'accept-encoding': accepted })
    expect(answer.status).toBe(200)
    expect(answer.headers.get('content-encoding')).toBe(encoding)
    expect(answer.headers.get('vary')).toContain('accept-encoding')
    expect(answer.headers.get('content-type')).toContain('json')
    const sent = await bytesOf(answer)
    expect(Number(answer.headers.get('content-length'))).toBe(sent.length)
    expect(sent.length).toBeLessThan(plain.length / 3)
    expect(open(sent).equals(plain)).toBe(true)
  }
})

test('short answers, events, and answers to those who accept no encoding come as they are', async () => {
  for (const [query, headers] of [
    ['{ __typename }', { 'accept-encoding': 'br' }],
    [LONG, { 'accept-encoding': 'identity' }],
    [LONG, { 'accept-encoding': 'br;q=0, gzip;q=0' }],
  ] as const) {
    const answer = await ask(query, headers)
    expect(answer.headers.get('content-encoding')).toBeNull()
    expect(await answer.json()).toHaveProperty('data')
  }
  const heard = await ask(LONG, { accept: 'text/event-stream', 'accept-encoding': 'br' })
  expect(heard.headers.get('content-encoding')).toBe('none')
  expect(await heard.text()).toContain('event: complete')
})

test('what the client likes best is chosen among what we have', () => {
  expect(chosenEncoding(null)).toBeUndefined()
  expect(chosenEncoding('')).toBeUndefined()
  expect(chosenEncoding('deflate')).toBeUndefined()
  expect(chosenEncoding('*')).toBe('br')
  expect(chosenEncoding('GZIP')).toBe('gzip')
  expect(chosenEncoding('br;q=0.2, gzip;q=0.9')).toBe('gzip')
  expect(chosenEncoding('br;q=0, *')).toBe('gzip')
  expect(chosenEncoding('br;q=x')).toBeUndefined()
})
