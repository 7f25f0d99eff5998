// The audits of the GraphQL over HTTP specification (https://graphql.github.io/graphql-over-http/draft/), as published in
// the package graphql-http: every one of them, those that are only recommended too.
import { serverAudits } from 'graphql-http'
import { expect, test } from 'vitest'
import { openTestApi } from '../support/api.ts'

const { app, keys } = await openTestApi()
// Some audits look at the schema, which needs a key.
const withKey = (url: string, init: RequestInit = {}) => {
  const headers = new Headers(init.headers)
  headers.set('x-api-key', keys.sales)
  return app.fetch(url, { ...init, headers })
}
const audits = serverAudits({ url: 'http://test/graphql', fetchFn: withKey })

test('the suite is whole', () => {
  expect(audits.length).toBeGreaterThanOrEqual(61)
})

test.each(audits.map((audit) => [audit.id, audit.name, audit] as const))('%s %s', async (_id, _name, audit) => {
  expect(await audit.fn()).toMatchObject({ status: 'ok' })
})
