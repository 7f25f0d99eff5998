// Limits of a key as clients see them: the headers of draft-ietf-httpapi-ratelimit-headers-10 (sections 3 and 4), written as
// structured fields (RFC 9651, 4.1), and 429 with Retry-After (RFC 6585, 4; RFC 9110, 10.2.3).
import { expect, test } from 'vitest'
import { z } from 'zod'
import { createApp } from '../../src/app.ts'
import { openTestApi } from '../support/api.ts'

const { app, client, clock, jobs, keys } = await openTestApi({ planned: true })

const limited = (requests: number, cost: number) =>
  createApp({ client, clock, jobs, onFault: () => undefined, keyQuotas: { requests, cost }, queryCost: 1000 })
type App = ReturnType<typeof limited>

const ask = (to: App, query: string, headers: Record<string, string> = { authorization: `Bearer ${keys.admin}` }) =>
  to.fetch('http://test/graphql', {
    method: 'POST',
    headers: { 'content-type': 'application/json', ...headers },
    body: JSON.stringify({ query }),
  })
const ME = '{ distributor { name } }'
/** Two fields for each of 100 beers, and the page. */
const BEERS = '{ beers(first: 100) { edges { node { id name } } } }'
const codesOf = async (response: Response) =>
  z
    .object({ errors: z.array(z.object({ extensions: z.object({ code: z.string() }) })).default([]) })
    .parse(await response.json())
    .errors.map(({ extensions }) => extensions.code)

/** A list of strings with parameters that are integers or strings, as a map of maps. Throws where it is none. */
function fieldOf(response: Response, name: string): Record<string, Record<string, number | string>> {
  const text = response.headers.get(name) ?? ''
  const member =
    /"([\x20\x21\x23-\x5b\x5d-\x7e]+)"((?:;[a-z*][a-z0-9_.*-]*=(?:-?\d{1,15}|"[\x20\x21\x23-\x5b\x5d-\x7e]*"))*)/
  expect(text).toMatch(new RegExp(`^${member.source}(, ${member.source})*$`))
  return Object.fromEntries(
    [...text.matchAll(new RegExp(member, 'g'))].map(([, key = '', parameters = '']) => [
      key,
      Object.fromEntries(
        parameters
          .split(';')
          .slice(1)
          .map((each) => {
            const [parameter = '', value = ''] = each.split('=')
            return [parameter, value.startsWith('"') ? value.slice(1, -1) : Number(value)]
          }),
      ),
    ]),
  )
}

test('every answer to a key says its quotas and what is left: of GraphQL, of documents and of sheets', async () => {
  const api = limited(10, 5000)
  const key = { headers: { authorization: `Bearer ${keys.admin}` } }
  const answers = [
    await ask(api, ME),
    await api.fetch('http://test/documents/plan.json', key),
    await api.fetch('http://test/sheets/today.txt', key),
  ]
  expect(answers.slice(0, 2).map(({ status }) => status)).toEqual([200, 200])
  for (const [index, response] of answers.entries()) {
    expect(fieldOf(response, 'ratelimit-policy')).toEqual({
      requests: { q: 10, w: 60 },
      'query-cost': { q: 5000, w: 60, qu: 'query-cost' },
    })
    const { requests, 'query-cost': cost } = fieldOf(response, 'ratelimit')
    expect([requests?.r, cost?.r]).toEqual([9 - index, 4998])
    expect(requests?.t).toBe(cost?.t)
    expect(Number(requests?.t)).toBeGreaterThan(50)
  }
})

test('without a good key nothing is counted or said', async () => {
  const api = limited(1, 5000)
  for (const authorization of ['', 'Bearer fw_wrong']) {
    const response = await ask(api, ME, { authorization })
    expect([response.status, response.headers.get('ratelimit')]).toEqual([401, null])
  }
  expect((await ask(api, ME)).status).toBe(200)
})

test('a request beyond the quota is answered 429 with when to come again, does nothing, and leaves other keys alone', async () => {
  const api = limited(2, 5000)
  const statuses = [await ask(api, ME), await ask(api, ME), await ask(api, ME)]
  expect(statuses.map(({ status }) => status)).toEqual([200, 200, 429])
  const refused = statuses[2]
  if (!refused) throw new Error('an answer is missing')
  expect(Number(refused.headers.get('retry-after'))).toBe(fieldOf(refused, 'ratelimit').requests?.t)
  expect(fieldOf(refused, 'ratelimit').requests?.r).toBe(0)
  expect(await codesOf(refused)).toEqual(['KEY_REQUESTS_SPENT'])
  expect((await ask(api, ME, { authorization: `Bearer ${keys.sales}` })).status).toBe(200)
  expect((await ask(limited(2, 5000), ME)).status).toBe(200)
})

test('queries that cost more than is left are answered 429 before they run, and one that never can be asked costs one', async () => {
  const api = limited(100, 1000)
  const first = await ask(api, BEERS)
  const left = Number(fieldOf(first, 'ratelimit')['query-cost']?.r)
  expect(first.status).toBe(200)
  expect(left).toBeLessThanOrEqual(800)
  expect(left).toBeGreaterThanOrEqual(500)
  const tooMuch = await ask(api, `{ ${[1, 2, 3, 4, 5].map((n) => `a${n}: ${BEERS.slice(2, -2)}`).join(' ')} }`)
  expect([tooMuch.status, await codesOf(tooMuch)]).toEqual([400, ['QUERY_TOO_COSTLY']])
  expect(Number(fieldOf(tooMuch, 'ratelimit')['query-cost']?.r)).toBe(left - 1)
  const answers = [await ask(api, BEERS), await ask(api, BEERS), await ask(api, BEERS), await ask(api, BEERS)]
  const refused = answers.find(({ status }) => status !== 200)
  if (!refused) throw new Error('none is refused')
  expect([refused.status, await codesOf(refused)]).toEqual([429, ['KEY_COST_SPENT']])
  expect(Number(refused.headers.get('retry-after'))).toBeGreaterThan(50)
  expect((await ask(api, ME)).status).toBe(200)
})

test('of several operations the one that is asked for is counted, with its fragments and variables', async () => {
  const query = `query Few { distributor { name } } query Many($first: Int) { beers(first: $first) { edges { node { ...Beer } } } }
    fragment Beer on Beer { id name }`
  const cost = async (operationName: string, variables: object = {}) => {
    const response = await limited(10, 5000).fetch('http://test/graphql', {
      method: 'POST',
      headers: { 'content-type': 'application/json', authorization: `Bearer ${keys.admin}` },
      body: JSON.stringify({ query, operationName, variables }),
    })
    expect(response.status).toBe(200)
    return 5000 - Number(fieldOf(response, 'ratelimit')['query-cost']?.r)
  }
  const [few, ten, hundred] = [await cost('Few'), await cost('Many', { first: 10 }), await cost('Many', { first: 100 })]
  expect(few).toBe(2)
  expect(hundred - ten).toBeGreaterThanOrEqual(2 * 90)
})

test('where nothing is set the quotas are those of the README', async () => {
  const policy = fieldOf(await ask(app, ME), 'ratelimit-policy')
  expect([policy.requests?.q, policy['query-cost']?.q]).toEqual([6000, 20_000_000])
})
