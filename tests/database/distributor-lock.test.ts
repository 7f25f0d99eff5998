import { beforeEach, expect, test } from 'vitest'
import { withDistributorLock } from '../../src/database/distributor-lock.ts'
import { emptyDatabase, openTestDatabase } from '../support/database.ts'

const { client, pool, clock } = await openTestDatabase()
const database = { client, clock }

beforeEach(async () => {
  await emptyDatabase(pool)
  await client.distributor.createMany({ data: ['d', 'e'].map((id) => ({ id, name: id, timeZone: 'UTC' })) })
})

const entries = () => client.changeLogEntry.findMany({ orderBy: [{ revision: 'asc' }, { n: 'asc' }] })
const epoch = async (id = 'd') => (await client.distributor.findUniqueOrThrow({ where: { id } })).epoch
const revision = async (id = 'd') => (await client.distributor.findUniqueOrThrow({ where: { id } })).revision

test('what work logs becomes numbered entries of the next revision', async () => {
  clock.set('2027-03-01T10:00:00Z')
  const committed = await withDistributorLock(database, 'd', async ({ tx, log, revision: now }) => {
    expect(now).toBe(0)
    await tx.account.create({ data: { distributorId: 'd', id: 'a', name: 'The Tilted Inkwell' } })
    log('ACCOUNT_CREATED', { type: 'Account', id: 'a' }, undefined, { name: 'The Tilted Inkwell', on: new Date(0) })
    log('ACCOUNT_RETIRED', { type: 'Account', id: 'b' }, { name: 'The Lopsided Trivet' })
    return 'done'
  })
  expect(committed).toEqual({ result: 'done', revision: 1, epoch: await epoch() })
  expect(await revision()).toBe(1)
  const at = new Date('2027-03-01T10:00:00Z')
  const common = { distributorId: 'd', revision: 1, epoch: await epoch(), entityType: 'Account', at, keyId: null }
  expect(await entries()).toEqual([
    {
      ...common,
      n: 1,
      kind: 'ACCOUNT_CREATED',
      entityId: 'a',
      before: null,
      after: { name: 'The Tilted Inkwell', on: '1970-01-01T00:00:00.000Z' },
    },
    { ...common, n: 2, kind: 'ACCOUNT_RETIRED', entityId: 'b', before: { name: 'The Lopsided Trivet' }, after: null },
  ])
})

test('what is left to the end is written with the log, and each revision that is ended has entries of its own', async () => {
  const revisions: number[] = []
  const committed = await withDistributorLock(database, 'd', async ({ tx, log, atEnd, endRevision }) => {
    const account = {
      distributorId: 'd',
      name: 'The Tilted Inkwell',
      minDaysOnSale: 1,
      maxEarlyDays: 6,
      receivesWeekdays: [1],
    }
    for (const id of ['a', 'b']) {
      atEnd({ model: 'Account', rows: [{ ...account, id }] })
      log('ACCOUNT_CREATED', { type: 'Account', id }, undefined, account)
      log('ACCOUNT_CHANGED', { type: 'Account', id }, account)
      revisions.push(endRevision(), endRevision())
    }
    expect(await tx.account.count()).toBe(0)
  })
  expect(committed.revision).toBe(2)
  expect(await revision()).toBe(2)
  expect(revisions).toEqual([1, 1, 2, 2])
  expect((await entries()).map(({ revision, n, entityId }) => [revision, n, entityId])).toEqual([
    [1, 1, 'a'],
    [1, 2, 'a'],
    [2, 1, 'b'],
    [2, 2, 'b'],
  ])
  expect(await client.account.count()).toBe(2)
})

test('work that logs nothing leaves the revision', async () => {
  const committed = await withDistributorLock(database, 'd', async () => 7)
  expect(committed).toEqual({ result: 7, revision: 0, epoch: await epoch() })
  expect(await revision()).toBe(0)
})

test('work that throws leaves nothing: no row, no entry, no revision', async () => {
  const work = withDistributorLock(database, 'd', async ({ tx, log }) => {
    await tx.account.create({ data: { distributorId: 'd', id: 'a', name: 'The Tilted Inkwell' } })
    log('ACCOUNT_CREATED', { type: 'Account', id: 'a' }, undefined, {})
    throw new Error('no')
  })
  await expect(work).rejects.toThrow('no')
  expect(await client.account.count()).toBe(0)
  expect(await entries()).toEqual([])
  expect(await revision()).toBe(0)
})

test('work that is done again after a conflict logs once', async () => {
  let attempts = 0
  await withDistributorLock(database, 'd', async ({ tx, log }) => {
    attempts += 1
    log('ACCOUNT_CHANGED', { type: 'Account', id: String(attempts) }, undefined, {})
    if (attempts === 1) await tx.$executeRaw`DO $$ BEGIN RAISE EXCEPTION 'x' USING ERRCODE = '40001'; END $$`
  })
  expect(await entries()).toMatchObject([{ revision: 1, n: 1, entityId: '2' }])
})

test('of many writers at once each sees what the one before wrote, and the log has no gap', async () => {
  const writers = Array.from({ length: 40 }, (_, writer) =>
    withDistributorLock(database, 'd', async ({ tx, log, revision: seen }) => {
      const { revision: read } = await tx.distributor.findUniqueOrThrow({ where: { id: 'd' } })
      expect(read).toBe(seen)
      for (let n = 0; n <= writer % 3; n += 1)
        log('ACCOUNT_CHANGED', { type: 'Writer', id: String(writer) }, undefined, { seen })
    }),
  )
  const revisions = (await Promise.all(writers)).map((committed) => committed.revision)
  expect(revisions.sort((a, b) => a - b)).toEqual(Array.from({ length: 40 }, (_, index) => index + 1))
  expect(await revision()).toBe(40)
  const written = await entries()
  let last = { revision: 0, n: 0 }
  for (const { revision: number, n, after } of written) {
    expect({ number, n }).toEqual(
      number === last.revision ? { number, n: last.n + 1 } : { number: last.revision + 1, n: 1 },
    )
    expect(after).toEqual({ seen: number - 1 })
    last = { revision: number, n }
  }
  expect(last.revision).toBe(40)
})

test('the revisions of two distributors are their own', async () => {
  await withDistributorLock(database, 'd', async ({ log }) =>
    log('ACCOUNT_CHANGED', { type: 'T', id: '1' }, undefined, {}),
  )
  expect([await revision('d'), await revision('e')]).toEqual([1, 0])
})

test('a distributor that does not exist is not found', async () => {
  await expect(withDistributorLock(database, 'no-such-distributor', async () => {})).rejects.toMatchObject({
    code: 'NO_SUCH_THING',
  })
})

test('who waits for the lock holds no connection: others read meanwhile', async () => {
  const writers = Array.from({ length: 40 }, () =>
    withDistributorLock(database, 'd', async ({ tx }) => {
      await tx.$queryRaw`SELECT pg_sleep(0.005)::text`
      return pool.waitingCount
    }),
  )
  const waiting = (await Promise.all(writers)).map(({ result }) => result)
  expect(Math.max(...waiting)).toBe(0)
})
