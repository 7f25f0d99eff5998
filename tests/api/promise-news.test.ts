// News of promises where another server writes what causes them, and who may listen.
import { expect, test } from 'vitest'
import { z } from 'zod'
import { createApp } from '../../src/app.ts'
import { createClient } from '../../src/database/client.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import { openTestApi } from '../support/api.ts'
import { testJobs } from '../support/jobs.ts'
import { closeFermenters, listenFor, subscribe } from '../support/risk-news.ts'

const { app, data, pool, clock, keys, scenario, faults } = await openTestApi({ planned: true })
const { today, accounts } = scenario.problem
const externalRef = scenario.names.accounts?.[accounts[0]?.id ?? '']?.externalRef ?? ''
// Another process on the same database: it shares nothing with the first but the rows.
const elsewhere = { client: createClient(pool), clock, onFault: (error: unknown) => faults.push(error) }
const other = createApp({ ...elsewhere, jobs: testJobs(elsewhere) })

const QUERY = `subscription { promiseAtRisk { atRisk promisedOn line { order { externalRef } } cause { event } revision } }`

test('a subscriber of one server hears within seconds of a promise that another server put at risk', async () => {
  const { placeOrder } = await data(
    `mutation ($input: PlaceOrderInput!) { placeOrder(input: $input) { __typename } }`,
    {
      input: {
        account: { externalRef },
        serveOn: addDays(today, 3),
        accept: 'LATER',
        externalRef: 'RISK',
        lines: [{ pack: { externalRef: 'BLO-FIRKIN' }, quantity: 3 }],
      },
    },
    'sales',
  )
  expect(placeOrder).toEqual({ __typename: 'OrderPayload' })
  const leaving = new AbortController()
  const response = await subscribe(other, QUERY, keys.sales, leaving.signal)
  const { heard, leave } = listenFor(response, '"RISK"')
  await closeFermenters(data, scenario)
  expect(await heard).toMatch(/"atRisk":true.*"event":"VESSEL_CHANGED"/)
  await leave()
  leaving.abort()
  expect(faults).toEqual([])
})

test('no one listens without a key, with a wrong one, or without the scope', async () => {
  const { createApiKey } = await data(
    `mutation { createApiKey(input: { name: "Cellar", scopes: ["setup:write"] }) { ... on CreateApiKeyPayload { key } } }`,
  )
  const { key: cellar } = z.object({ key: z.string() }).parse(createApiKey)
  for (const [key, code] of [
    [undefined, 'KEY_MISSING'],
    ['fw_wrong', 'KEY_UNKNOWN'],
    [cellar, 'SCOPE_MISSING'],
  ] as const) {
    const response = await subscribe(app, QUERY, key)
    const text = await response.text()
    expect(text).toContain(`"code":"${code}"`)
    expect(text).not.toContain('"atRisk"')
    if (key !== cellar) expect(response.status).toBe(401)
  }
  expect(faults).toEqual([])
})
