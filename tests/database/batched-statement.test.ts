import { randomUUID } from 'node:crypto'
import { expect, test } from 'vitest'
import { changedRows, runBatchedStatement } from '../../src/database/batched-statement.ts'
import { openTestDatabase } from '../support/database.ts'

const { client } = await openTestDatabase()
const key = (name: string) => ({ distributorId: 'a', key: name })
const row = (name: string, payloadHash: string) => ({
  ...{ ...key(name), payloadHash, response: null, createdAt: new Date(0) },
})

test('rows of several models are inserted, changed and deleted in one statement', async () => {
  await runBatchedStatement(client, [
    { model: 'Distributor', rows: [{ id: 'a', name: 'A', timeZone: 'UTC', ...defaults() }] },
    { model: 'IdempotencyKey', rows: [row('one', 'a'.repeat(64))] },
    { model: 'IdempotencyKey', rows: [row('two', 'b'.repeat(64))] },
  ])
  expect(await client.idempotencyKey.count({ where: { distributorId: 'a' } })).toBe(2)
})

test('changed rows get the new values of the columns that are named, instants and nothing too; other rows keep theirs', async () => {
  const api = (id: string) => ({
    distributorId: 'a',
    id,
    name: id,
    hash: id.at(-1)!.repeat(64),
    scopes: ['x'],
    createdAt: new Date(0),
  })
  await client.apiKey.createMany({ data: ['k1', 'k2', 'k3'].map(api) })
  const revokedAt = new Date('2027-03-01T12:00:00Z')
  await runBatchedStatement(client, [
    ...changedRows('ApiKey', [
      { distributorId: 'a', id: 'k1', name: 'one', revokedAt },
      { distributorId: 'a', id: 'k2', name: 'two', revokedAt: null },
    ]),
    ...changedRows('Batch', []),
  ])
  const keys = await client.apiKey.findMany({ where: { distributorId: 'a' }, orderBy: { id: 'asc' } })
  expect(keys).toMatchObject([
    { ...api('k1'), name: 'one', revokedAt },
    { ...api('k2'), name: 'two', revokedAt: null },
    { ...api('k3'), revokedAt: null },
  ])
})

test('a server that is older than a column goes on: it names its columns, and the new one takes its default', async () => {
  await runBatchedStatement(client, [{ model: 'IdempotencyKey', rows: [row('before', 'c'.repeat(64))] }])
  await client.$executeRaw`ALTER TABLE "IdempotencyKey" ADD COLUMN "newer" text NOT NULL DEFAULT 'by default'`
  try {
    await runBatchedStatement(client, [{ model: 'IdempotencyKey', rows: [row('after', 'd'.repeat(64))] }])
    const found = await client.$queryRaw`SELECT "newer" FROM "IdempotencyKey" WHERE "key" IN ('before', 'after')`
    expect(found).toEqual([{ newer: 'by default' }, { newer: 'by default' }])
  } finally {
    await client.$executeRaw`ALTER TABLE "IdempotencyKey" DROP COLUMN "newer"`
  }
})

test('a write of no rows is none', async () => {
  await runBatchedStatement(client, [{ model: 'IdempotencyKey', rows: [] }])
  await runBatchedStatement(client, [
    { model: 'Batch', rows: [] },
    { model: 'IdempotencyKey', rows: [row('beside', 'e'.repeat(64))] },
  ])
  expect(await client.idempotencyKey.count({ where: { key: 'beside' } })).toBe(1)
})

function defaults() {
  const settings = {
    horizonDays: 30,
    frozenDays: 0,
    costs: {},
    betterPlans: 'OFFERED',
    betterPlanSaving: 0.05,
    changesFrom: 0,
  }
  return { revision: 0, epoch: randomUUID(), ...settings, offerKey: 'c'.repeat(64) }
}
