import { beforeEach, expect, test } from 'vitest'
import { withDistributorLock } from '../../../src/database/distributor-lock.ts'
import { readChanges } from '../../../src/resolvers/changes/read-changes.ts'
import { thinLog } from '../../../src/resolvers/changes/thin-log.ts'
import { emptyDatabase, openTestDatabase } from '../../support/database.ts'

const { client, pool, clock } = await openTestDatabase()
const actor = { client, clock, distributorId: 'd' }
const faults: unknown[] = []
const services = { client, clock, onFault: (error: unknown) => faults.push(error), changeDays: 7 }

beforeEach(async () => {
  await emptyDatabase(pool)
  await client.distributor.create({ data: { id: 'd', name: 'D', timeZone: 'UTC' } })
})

/** Commits changes of accounts on a day of March. */
async function commit(day: number, ...ids: string[]) {
  clock.set(`2027-03-${String(day).padStart(2, '0')}T09:00:00Z`)
  await withDistributorLock(actor, 'd', async ({ log }) => {
    for (const id of ids) log('ACCOUNT_CHANGED', { type: 'Account', id }, {}, {})
  })
}

const page = (options: Partial<Parameters<typeof readChanges>[1]> = {}) =>
  readChanges(actor, { count: 100, fromEnd: false, ...options })

test('of changes that are older than they are kept only the last of each thing stays, and a place among them is refused', async () => {
  await commit(1, 'a', 'b')
  const { position: first } = await page()
  await commit(2, 'a', 'c')
  const { position: second } = await page()
  await commit(12, 'a')
  await thinLog(services, 'd')
  const kept = await client.changeLogEntry.findMany({ orderBy: [{ revision: 'asc' }, { n: 'asc' }] })
  expect(kept.map(({ revision, entityId }) => `${revision} ${entityId}`)).toEqual(['1 b', '2 c', '3 a'])
  // The place behind the second commit may lie behind one that is gone: to be safe it is refused.
  for (const after of [first, second]) await expect(page({ after })).rejects.toMatchObject({ code: 'CURSOR_TOO_OLD' })
  const { changes, position } = await page()
  expect(changes.map(({ revision, entityId }) => `${revision} ${entityId}`)).toEqual(['3 a'])
  expect((await page({ after: position })).changes).toEqual([])
})

test('a page of nothing is a place from which all that is kept follows', async () => {
  await commit(1, 'a')
  await commit(12, 'b', 'c')
  await thinLog(services, 'd')
  const { position } = await page({ count: 0 })
  expect((await page({ after: position })).changes.map(({ entityId }) => entityId)).toEqual(['b', 'c'])
})

test('the newest commit stays, however old it is, so that a follower who has read it can go on', async () => {
  await commit(1, 'a')
  await commit(2, 'a')
  const { position } = await page()
  clock.set('2027-06-01T09:00:00Z')
  await thinLog(services, 'd')
  await thinLog(services, 'd')
  expect((await page({ after: position })).changes).toEqual([])
  await commit(30, 'b')
  expect((await page({ after: position })).changes.map(({ entityId }) => entityId)).toEqual(['b'])
})

test('nothing goes that is younger, and a distributor without changes stays as it is', async () => {
  await thinLog(services, 'd')
  const { position } = await page()
  await commit(20, 'a')
  await commit(21, 'a')
  await thinLog(services, 'd')
  expect((await page({ after: position })).changes).toHaveLength(2)
  expect(faults).toEqual([])
})
