// The audits of the GraphQL over HTTP specification (https://graphql.github.io/graphql-over-http/draft/), as published in
// the package graphql-http: every one of them, those that are only recommended too.
import { serverAudits } from 'graphql-http'
import { expect, test } from 'vitest'
import { openTestApi } from '../support/api.ts'

const { app } = await openTestApi()
const audits = serverAudits({ url: 'http://test/graphql', fetchFn: app.fetch })

test('the suite is whole', () => {
  expect(audits.length).toBeGreaterThanOrEqual(61)
})

test.each(audits.map((audit) => [audit.id, audit.name, audit] as const))('%s %s', async (_id, _name, audit) => {
  expect(await audit.fn()).toMatchObject({ status: 'ok' })
})
