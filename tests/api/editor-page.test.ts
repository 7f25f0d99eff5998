// The query editor's page: built once, compressed, kept by browsers, and with everything in its first tab.
import { existsSync, readFileSync } from 'node:fs'
import { runInNewContext } from 'node:vm'
import { brotliDecompressSync, gunzipSync } from 'node:zlib'
import { expect, test } from 'vitest'
import { createApp } from '../../src/app.ts'
import { todayIn } from '../../src/clock.ts'
import { fillFirstTab } from '../../src/http/editor-page.ts'
import { graphiqlTabs } from '../../src/schema/graphiql-tabs.ts'
import { openTestApi } from '../support/api.ts'

const { app, client, clock, faults } = await openTestApi()
const get = (headers: Record<string, string> = {}, from: typeof app = app) =>
  from.fetch('http://test/graphql', { headers: { accept: 'text/html', ...headers } })
const bytesOf = async (response: Response) => Buffer.from(await response.arrayBuffer())
const tabs = graphiqlTabs(todayIn(clock, 'UTC'))
const [first] = tabs
if (!first) throw new Error('there is no tab')

/** Where Linux counts the nanoseconds of the processor that the reading thread has taken. */
const OWN_TIME = '/proc/thread-self/schedstat'

test.runIf(existsSync(OWN_TIME))(
  'the page is made on a thread of its own, so that others are answered meanwhile',
  async () => {
    const own = () => Number(readFileSync(OWN_TIME, 'utf8').split(' ')[0]) / 1000
    const [began, all] = [own(), process.cpuUsage()]
    expect((await get()).status).toBe(200)
    const { user, system } = process.cpuUsage(all)
    // Made here it takes nearly all of the time.
    expect(own() - began).toBeLessThan((user + system) / 3)
  },
)

test('the page comes as the client accepts it, the same in each encoding', async () => {
  const plain = await bytesOf(await get())
  expect(plain.toString()).toContain('<title>Fillwright</title>')
  const br = await get({ 'accept-encoding': 'gzip, br' })
  expect(br.headers.get('content-encoding')).toBe('br')
  const brotli = await bytesOf(br)
  expect(brotliDecompressSync(brotli).equals(plain)).toBe(true)
  expect(brotli.length).toBeLessThan(plain.length / 2.5)
  const zipped = await get({ 'accept-encoding': 'gzip, br;q=0.5' })
  expect(zipped.headers.get('content-encoding')).toBe('gzip')
  expect(gunzipSync(await bytesOf(zipped)).equals(plain)).toBe(true)
  expect(br.headers.get('vary')).toContain('accept-encoding')
})

test('a browser that has the page gets no byte of it again', async () => {
  const had = await get({ 'accept-encoding': 'br' })
  const tag = had.headers.get('etag') ?? ''
  expect(tag).toMatch(/^"\S+"$/)
  expect(had.headers.get('cache-control')).toContain('max-age')
  const again = await get({ 'accept-encoding': 'br', 'if-none-match': tag })
  expect(again.status).toBe(304)
  expect(await again.text()).toBe('')
  expect((await get({ 'accept-encoding': 'br', 'if-none-match': '"other"' })).status).toBe(200)
})

test('a hundred who ask at once share one page', async () => {
  await (await get()).arrayBuffer()
  const before = process.memoryUsage()
  const answers = await Promise.all(Array.from({ length: 100 }, () => get()))
  const after = process.memoryUsage()
  expect(answers).toHaveLength(100)
  const grown = after.heapUsed + after.external - before.heapUsed - before.external
  expect(grown).toBeLessThan(30 * 1024 * 1024)
})

test('the first tab opens with its variables and headers, and who was here before keeps their own', async () => {
  const page = await (await get()).text()
  const script = fillFirstTab(first)
  expect(page).toContain(`<script>${script}</script></head>`)
  // The names under which this version of the editor keeps what the tab that it opens with holds.
  for (const name of ['"query"', '"variables"', '"headers"', '"tabState"'])
    expect(page).toMatch(new RegExp(`(query|variables|headers|tabs):${name}`))
  const visit = (kept: [string, string][], search = '') => {
    const storage = new Map(kept)
    const localStorage = {
      getItem: (name: string) => storage.get(name) ?? null,
      setItem: (name: string, value: string) => storage.set(name, value),
    }
    runInNewContext(script, { localStorage, URLSearchParams, location: { search } })
    return Object.fromEntries(storage)
  }
  expect(visit([])).toEqual({
    'graphiql:query': first.query,
    'graphiql:variables': first.variables,
    'graphiql:headers': first.headers,
  })
  expect(visit([['graphiql:tabState', '{}']])).toEqual({ 'graphiql:tabState': '{}' })
  expect(visit([], '?query=%7B__typename%7D')).toEqual({})
})

test('the setting turns it off', async () => {
  const without = createApp({ client, clock, onFault: (error) => faults.push(error), queryEditor: false })
  const answer = await get({}, without)
  expect(answer.status).toBeGreaterThanOrEqual(400)
  expect(answer.headers.get('content-type')).not.toContain('html')
  expect(await answer.json()).toMatchObject({ errors: [{ extensions: { code: 'WRONG_ANSWER_TYPE' } }] })
  expect(faults).toEqual([])
})
