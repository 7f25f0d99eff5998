// Sheets over HTTP and by GraphQL: as text and as HTML, by key or by a browser's password, and what is refused.
import { expect, test } from 'vitest'
import { openTestApi } from '../support/api.ts'

const { app, keys, revision, data } = await openTestApi({ planned: true })

const bearer = (key: string) => ({ authorization: `Bearer ${key}` })
const get = (address: string, headers: Record<string, string> = bearer(keys.floor), method = 'GET') =>
  app.fetch(`http://test/sheets/${address}`, { method, headers })

test.each(['today', 'fill'])(
  '%s is a page of text and a page of HTML, with the revision that it is of',
  async (name) => {
    const text = await get(`${name}.txt?site=SITE-1`)
    expect(text.headers.get('content-type')).toBe('text/plain; charset=utf-8')
    expect(text.headers.get('x-revision')).toBe(String(await revision()))
    expect(await text.text()).toContain('Mossrake Yard')
    const html = await get(`${name}.html?site=SITE-1`)
    expect(html.headers.get('content-type')).toBe('text/html; charset=utf-8')
    expect(html.headers.get('content-security-policy')).toContain("default-src 'none'")
    expect(await html.text()).toContain('Local codes and licensed practice prevail.')
  },
)

test('a browser is asked for a key, and sends it as the password; on /graphql a password is no key', async () => {
  const asked = await get('today.html?site=SITE-1', {})
  expect(asked.status).toBe(401)
  expect(asked.headers.get('www-authenticate')).toMatch(/^Basic realm=/)
  const basic = { authorization: `Basic ${Buffer.from(`:${keys.floor}`).toString('base64')}` }
  expect((await get('today.html?site=SITE-1', basic)).status).toBe(200)
  const graphql = await app.fetch('http://test/graphql', {
    method: 'POST',
    headers: { ...basic, 'content-type': 'application/json' },
    body: JSON.stringify({ query: '{ distributor { name } }' }),
  })
  expect(graphql.status).toBe(401)
})

test.each([
  ['load.txt?route=R1', 'plan:read', 200],
  ['removals.txt?from=2027-03-01', 'movements:read', 403],
])('%s needs %s: the key of the floor gets %i', async (address, scope, status) => {
  const answer = await get(address)
  expect(answer.status).toBe(status)
  if (status === 403) expect(await answer.text()).toContain(scope)
  expect((await get(address, bearer(keys.admin))).status).toBe(200)
})

test('what is wrong with an address is said all at once, by the parameter; what is not there is 404', async () => {
  const wrong = await get('fill.txt?site=SITE-1&day=2027-02-30&colour=red')
  expect(wrong.status).toBe(400)
  expect(await wrong.text()).toMatch(/day: .*colour: /)
  expect((await get('fill.txt?site=NONE')).status).toBe(404)
  expect((await get('today.pdf?site=SITE-1')).status).toBe(404)
  expect((await get('today.txt?site=SITE-1', undefined, 'POST')).status).toBe(405)
  expect(await (await get('today.txt?site=SITE-1', undefined, 'HEAD')).text()).toBe('')
})

test('the same sheets are data: each figure with formula, constants and sources, each thing that is due with what says it', async () => {
  const QUERY = `query ($site: ThingRef!, $route: ThingRef!) {
    today(site: $site) { revision work { kind saidBy beer { name } by } cautions { code message } }
    fillSheet(site: $site) { revision runs { pack { name } quantity lotCode label
      finings { value unit formula constants { name value source } reached }
      weight { text missing } steps { code message } } }
    loadSheet(route: $route) { revision litres weightKg drops { account { name } lines { quantity lots { code } } } }
  }`
  const { today, fillSheet, loadSheet } = Object(
    await data(QUERY, { site: { externalRef: 'SITE-1' }, route: { externalRef: 'R1' } }, 'floor'),
  )
  const now = await revision()
  expect([today.revision, fillSheet.revision, loadSheet.revision]).toEqual([now, now, now])
  expect(today.cautions.map(({ code }: { code: string }) => code)).toContain('CO2_IN_THE_AIR')
  for (const { finings } of fillSheet.runs)
    if (finings) expect(finings.constants.every(({ source }: { source: string }) => source !== '')).toBe(true)
})

test('a unit that does not exist is refused by its name', async () => {
  const body = JSON.stringify({ query: '{ containerTypes(first: 1) { edges { node { volume(unit: FIRKINS) } } } }' })
  const headers = { ...bearer(keys.floor), 'content-type': 'application/json' }
  const answer = await app.fetch('http://test/graphql', { method: 'POST', headers, body })
  expect(await answer.text()).toMatch(/FIRKINS.*VolumeUnit/)
})

test('an account of a name that is markup is shown as it is called', async () => {
  const MUTATION = `mutation ($input: ChangeAccountInput!) { changeAccount(input: $input) { __typename } }`
  const { loadSheet } = Object(
    await data('{ loadSheet(route: { externalRef: "R1" }) { day drops { account { id } } } }', {}, 'floor'),
  )
  const [drop] = loadSheet.drops
  if (!drop) return
  await data(MUTATION, { input: { account: { id: drop.account.id }, name: '<b>The Bold Hem</b>' } })
  const html = await (await get('load.html?route=R1')).text()
  expect(html).toContain('&lt;b&gt;The Bold Hem&lt;/b&gt;')
  expect(html).not.toContain('<b>The Bold Hem')
})
