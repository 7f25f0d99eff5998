// The calendar of a site over HTTP: what it holds, by which key, and that no key is written down.
import ICAL from 'ical.js'
import { expect, test } from 'vitest'
import { createApp } from '../../src/app.ts'
import { openTestApi } from '../support/api.ts'

const { app, keys, data, revision, client, clock, scenario } = await openTestApi({ planned: true })

const MAKE = `mutation ($input: CreateApiKeyInput!) { createApiKey(input: $input) { ... on CreateApiKeyPayload { key apiKey { id } } } }`
const { createApiKey } = Object(await data(MAKE, { input: { name: 'Calendar', scopes: ['plan:read'] } }))
const key: string = createApiKey.key

const get = (query: string, headers: Record<string, string> = {}, method = 'GET') =>
  app.fetch(`http://test/calendars/plan.ics?${query}`, { method, headers })
const eventsOf = async (answer: Response) =>
  new ICAL.Component(ICAL.parse(await answer.text())).getAllSubcomponents('vevent').map((each) => new ICAL.Event(each))

test('it has each brew, transfer and fill of the plan in force at the site, and each route on each of its days, once', async () => {
  const answer = await get(`site=SITE-1&key=${key}`)
  expect(answer.status).toBe(200)
  expect(answer.headers.get('content-type')).toBe('text/calendar; charset=utf-8')
  const events = await eventsOf(answer)
  const { baseline: plan, sites, vessels, routes } = scenario.problem
  if (!plan) throw new Error('a plan is in force')
  const siteId = (await client.site.findFirstOrThrow({ where: { externalRef: 'SITE-1' } })).id
  expect(sites.map(({ id }) => id)).toContain(siteId)
  const here = new Set(vessels.flatMap((each) => (each.siteId === siteId ? each.id : [])))
  const routesHere = new Set(routes.flatMap((each) => (each.siteId === siteId ? each.id : [])))
  const loads = plan.deliveries.flatMap(({ routeId, dispatchOn }) =>
    routesHere.has(routeId) ? `load-${routeId}-${dispatchOn}` : [],
  )
  const fillersHere = new Set(scenario.problem.fillers.flatMap((each) => (each.siteId === siteId ? each.id : [])))
  const expected = [
    ...plan.brews.flatMap(({ id, vesselId }) => (here.has(vesselId) ? `brew-${id}` : [])),
    ...plan.transfers.flatMap(({ id, toVesselId }) => (here.has(toVesselId) ? `transfer-${id}` : [])),
    ...plan.fillRuns.flatMap(({ id, fillerId }) => (fillersHere.has(fillerId) ? `fill-${id}` : [])),
    ...new Set(loads),
  ]
  expect(events.map(({ uid }) => uid).sort()).toEqual(expected.map((each) => `${each}@demo.fillwright`).sort())
  expect(events.every(({ sequence }) => sequence > 0)).toBe(true)
})

test('a program that has it gets 304 for its tag, until the records change', async () => {
  const etag = (await get(`site=SITE-1&key=${key}`)).headers.get('etag') ?? ''
  expect((await get(`site=SITE-1&key=${key}`, { 'if-none-match': etag })).status).toBe(304)
  const before = await revision()
  const CHANGE = `mutation ($input: ChangeSiteInput!) { changeSite(input: $input) { __typename } }`
  await data(CHANGE, { input: { site: { externalRef: 'SITE-1' }, name: 'Mossrake, Yard; "old"' } })
  expect(await revision()).toBeGreaterThan(before)
  const answer = await get(`site=SITE-1&key=${key}`, { 'if-none-match': etag })
  expect(answer.status).toBe(200)
  expect((await eventsOf(answer))[0]?.location).toBe('Mossrake, Yard; "old"')
})

test('a key in an address may read plans alone; a stronger one is sent as the password or in a header', async () => {
  const strong = await get(`site=SITE-1&key=${keys.floor}`)
  expect(strong.status).toBe(403)
  expect(await strong.text()).toContain('KEY_TOO_STRONG_FOR_ADDRESS')
  const basic = { authorization: `Basic ${Buffer.from(`:${keys.floor}`).toString('base64')}` }
  expect((await get('site=SITE-1', basic)).status).toBe(200)
  expect((await get('site=SITE-1', { authorization: `Bearer ${keys.floor}` })).status).toBe(200)
  const asked = await get('site=SITE-1')
  expect(asked.status).toBe(401)
  expect(asked.headers.get('www-authenticate')).toMatch(/^Basic realm=/)
})

test('what is wrong with an address is said; what is not there is 404', async () => {
  expect((await get(`site=NONE&key=${key}`)).status).toBe(404)
  const wrong = await get(`site=SITE-1&colour=red&key=${key}`)
  expect([wrong.status, await wrong.text()]).toEqual([400, expect.stringContaining('colour')])
  expect((await get(`key=${key}`)).status).toBe(400)
  expect((await get(`site=SITE-1&key=${key}`, {}, 'POST')).status).toBe(405)
  expect(await (await get(`site=SITE-1&key=${key}`, {}, 'HEAD')).text()).toBe('')
})

test('no line of the log, no fault and no trace has the key of an address', async () => {
  const written: unknown[] = []
  const say = (...line: unknown[]) => written.push(line)
  const observed = {
    log: { debug: say, info: say, warn: say, error: say },
    traces: { ended: say, stop: async () => undefined },
  }
  const heard = createApp({ client, clock, onFault: say, observed: Object(observed) })
  for (const query of [`site=SITE-1&key=${key}`, `site=NONE&key=${key}`, `key=${key}x`])
    await heard.fetch(`http://test/calendars/plan.ics?${query}`)
  expect(written.length).toBeGreaterThan(2)
  expect(JSON.stringify(written)).toContain('/calendars/plan.ics')
  expect(JSON.stringify(written)).not.toContain(key)
})

test('a key that was revoked opens it no more', async () => {
  const REVOKE = `mutation ($input: RevokeApiKeyInput!) { revokeApiKey(input: $input) { __typename } }`
  await data(REVOKE, { input: { id: createApiKey.apiKey.id } })
  expect((await get(`site=SITE-1&key=${key}`)).status).toBe(401)
})
