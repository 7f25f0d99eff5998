// Keys over their life: made with an end, seen in the list, given a new secret, revoked.
import { expect, test } from 'vitest'
import { z } from 'zod'
import { openTestApi } from '../support/api.ts'
import { recordStatements } from '../support/database.ts'

const { ask, data, client, clock, jobs } = await openTestApi()

const CREATE = `mutation ($input: CreateApiKeyInput!) { createApiKey(input: $input) {
  __typename ... on CreateApiKeyPayload { key apiKey { id } } ... on InvalidInput { issues { path code } } } }`
const ROTATE = `mutation ($input: RotateApiKeyInput!) { rotateApiKey(input: $input) {
  __typename ... on CreateApiKeyPayload { key apiKey { id rotatedAt formerUntil } } ... on Conflict { code }
  ... on InvalidInput { issues { path code } } } }`
const REVOKE = 'mutation ($id: ID!) { revokeApiKey(input: { id: $id }) { __typename } }'
const LIST = `{ apiKeys(last: 1) { edges { node { name scopes createdAt lastUsedAt expiresAt rotatedAt revokedAt } } } }`
const ME = '{ distributor { name } }'

const madeShape = z.object({ key: z.string(), apiKey: z.looseObject({ id: z.string() }) })
const made = async (input: object) =>
  madeShape.parse((await data(CREATE, { input: { name: 'till', scopes: ['orders:read'], ...input } })).createApiKey)
const rotated = async (id: string, overlapMinutes?: number, key?: string) =>
  madeShape.parse((await data(ROTATE, { input: { id, overlapMinutes } }, key ? { key } : 'admin')).rotateApiKey)

const at = (text: string) => clock.set(`2027-03-01T${text}Z`)
/** How a key is answered: its status, and the code where it is refused. */
const answerTo = async (key: string) => {
  const { status, errors } = await ask(ME, {}, { key })
  return [status, ...(errors ?? []).map(({ extensions }) => extensions?.code)]
}

test('a key is good until its end, and then answered 401 with a code of its own', async () => {
  at('09:00:00')
  const { key } = await made({ expiresAt: '2027-03-01T10:00:00Z' })
  expect(await answerTo(key)).toEqual([200])
  at('09:59:59')
  expect(await answerTo(key)).toEqual([200])
  at('10:00:00')
  expect(await answerTo(key)).toEqual([401, 'KEY_EXPIRED'])
})

test('a key cannot end before it begins', async () => {
  at('10:00:00')
  const input = { name: 'late', scopes: ['orders:read'], expiresAt: '2027-03-01T10:00:00+00:00' }
  expect((await data(CREATE, { input })).createApiKey).toEqual({
    __typename: 'InvalidInput',
    issues: [{ path: 'expiresAt', code: 'OUT_OF_RANGE' }],
  })
})

test('a revoked key is answered 401 with a code of its own, and so is the secret that it had before', async () => {
  at('10:00:00')
  const first = await made({})
  const second = await rotated(first.apiKey.id, 60)
  await data(REVOKE, { id: first.apiKey.id })
  for (const { key } of [first, second]) expect(await answerTo(key)).toEqual([401, 'KEY_REVOKED'])
  const again = { id: first.apiKey.id }
  expect((await data(ROTATE, { input: again })).rotateApiKey).toEqual({
    __typename: 'Conflict',
    code: 'STATUS_FORBIDS',
  })
})

test('a new secret takes the place of the one before at once, or lets it go on for the minutes that are asked for', async () => {
  at('10:00:00')
  const first = await made({})
  const second = await rotated(first.apiKey.id)
  expect([await answerTo(first.key), await answerTo(second.key)]).toEqual([[401, 'KEY_UNKNOWN'], [200]])
  const third = await rotated(first.apiKey.id, 30)
  expect(third.apiKey).toEqual({
    id: first.apiKey.id,
    rotatedAt: '2027-03-01T10:00:00.000Z',
    formerUntil: '2027-03-01T10:30:00.000Z',
  })
  expect([await answerTo(second.key), await answerTo(third.key)]).toEqual([[200], [200]])
  at('10:30:00')
  expect([await answerTo(second.key), await answerTo(third.key)]).toEqual([[401, 'KEY_EXPIRED'], [200]])
})

test('the records keep no secret, neither of now nor from before', async () => {
  const first = await made({})
  const second = await rotated(first.apiKey.id, 30)
  const rows = JSON.stringify([await client.apiKey.findMany(), await client.changeLogEntry.findMany()])
  for (const { key } of [first, second]) expect(rows).not.toContain(key)
})

test('no key gets at scopes that it lacks by giving another key a new secret', async () => {
  const maker = await made({ scopes: ['keys:write'] })
  const strong = await made({ scopes: ['orders:read', 'keys:write'] })
  const input = { id: strong.apiKey.id }
  expect((await data(ROTATE, { input }, { key: maker.key })).rotateApiKey).toEqual({
    __typename: 'InvalidInput',
    issues: [{ path: 'id', code: 'SCOPE_NOT_YOURS' }],
  })
  expect(await answerTo(strong.key)).toEqual([200])
  const renewed = await rotated(maker.apiKey.id, undefined, maker.key)
  expect(await answerTo(renewed.key)).toEqual([200])
})

test('the list says when a key was last used, to the minute, and the requests of a minute write it once', async () => {
  at('11:00:30')
  const { key } = await made({ name: 'newest' })
  const newest = async () => (await data(LIST)).apiKeys
  const row = { name: 'newest', scopes: ['orders:read'], createdAt: '2027-03-01T11:00:30.000Z' }
  const never = { lastUsedAt: null, expiresAt: null, rotatedAt: null, revokedAt: null }
  expect(await newest()).toEqual({ edges: [{ node: { ...row, ...never } }] })
  at('11:05:59')
  await ask(ME, {}, { key })
  await jobs.settled()
  const used = { ...row, ...never, lastUsedAt: '2027-03-01T11:05:00.000Z' }
  expect(await newest()).toEqual({ edges: [{ node: used }] })
  const { statements } = await recordStatements(async () => {
    await ask(ME, {}, { key })
    await jobs.settled()
  })
  expect(statements.filter((text) => text.includes('UPDATE'))).toEqual([])
})
