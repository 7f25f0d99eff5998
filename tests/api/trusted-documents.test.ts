// Queries that callers name by their SHA-256, by the two ways in which clients do.
import { createHash } from 'node:crypto'
import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { createApp } from '../../src/app.ts'
import { documentHash, readTrustedDocuments } from '../../src/http/trusted-documents.ts'
import { schema } from '../../src/schema/schema.ts'
import { trustedList } from '../../src/start/trust-documents.ts'
import { openTestApi } from '../support/api.ts'

const { client, clock, keys, faults } = await openTestApi()
const QUERY = 'query Beer($first: Int) { beers(first: $first) { edges { node { name } } } }'
const OTHER = '{ distributor { name } }'
const hash = createHash('sha256').update(QUERY).digest('hex')
const services = { client, clock, onFault: (error: unknown) => faults.push(error) }
const trusted = new Map([[hash, QUERY]])
const both = createApp({ ...services, trusted })
const only = createApp({ ...services, trusted, onlyTrustedDocuments: true })
const none = createApp(services)

async function send(body: object, to = both, key: string | undefined = keys.sales) {
  const headers = { 'content-type': 'application/json', ...(key ? { authorization: `Bearer ${key}` } : {}) }
  const response = await to.fetch('http://test/graphql', { method: 'POST', headers, body: JSON.stringify(body) })
  return { status: response.status, answer: await response.json() }
}

test('a query of the list is answered by its name, with variables, and just as if its text were sent', async () => {
  const variables = { first: 2 }
  const sent = await send({ query: QUERY, variables })
  expect(sent.answer.data.beers.edges).toHaveLength(2)
  for (const to of [both, only]) {
    expect(await send({ documentId: `sha256:${hash}`, variables }, to)).toEqual(sent)
    const extensions = { persistedQuery: { version: 1, sha256Hash: hash } }
    expect(await send({ extensions, variables }, to)).toEqual(sent)
  }
  expect(faults).toEqual([])
})

test('a name of no query is refused, and so is any text where only the list is answered', async () => {
  const code = async (body: object, to = both) => (await send(body, to)).answer.errors[0].extensions.code
  expect(await code({ documentId: `sha256:${documentHash(OTHER)}` })).toBe('DOCUMENT_UNKNOWN')
  expect(await code({ query: OTHER }, only)).toBe('DOCUMENT_NOT_TRUSTED')
  expect((await send({ query: OTHER })).answer.data).toEqual({ distributor: { name: expect.any(String) } })
  expect(await code({ documentId: `sha256:${hash}` }, none)).toBe('BAD_REQUEST')
})

test('a name is no key: scopes count as they do for the text', async () => {
  const body = { documentId: `sha256:${hash}`, variables: { first: 1 } }
  expect((await send(body, only, '')).answer.errors[0].extensions.code).toBe('KEY_MISSING')
})

test('a list is made of files, and is refused where a hash is wrong or a query does not fit the schema', async () => {
  const folder = await mkdtemp(join(tmpdir(), 'fillwright-trust-'))
  const [good, bad] = [join(folder, 'good.graphql'), join(folder, 'bad.graphql')]
  await writeFile(good, QUERY)
  await writeFile(bad, '{ moon }')
  const list = await trustedList([good])
  expect(JSON.parse(list)).toEqual({ [hash]: QUERY })
  expect(readTrustedDocuments(list, schema)).toEqual(trusted)
  await expect(trustedList([good, bad])).rejects.toThrow(/Cannot query field "moon"/)
  expect(() => readTrustedDocuments(JSON.stringify({ [hash]: OTHER }), schema)).toThrow(documentHash(OTHER))
  await rm(folder, { recursive: true })
})
