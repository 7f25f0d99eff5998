import { expect, test } from 'vitest'
import { withDistributorLock } from '../../src/database/distributor-lock.ts'
import { stillHas, type Version } from '../../src/database/version.ts'
import { copyOfRows } from '../support/copied-rows.ts'
import { openTestDatabase } from '../support/database.ts'

const { client, pool, clock } = await openTestDatabase()
await client.distributor.create({ data: { id: 'd', name: 'D', timeZone: 'UTC' } })

const commit = async (): Promise<Version> => {
  const { revision, epoch } = await withDistributorLock({ client, clock }, 'd', async ({ log }) =>
    log('ORDER_AMENDED', { type: 'Order', id: 'o' }, undefined, {}),
  )
  return { revision, epoch }
}

test('each commit has an epoch of its own, which its entries of the log bear', async () => {
  const versions = [await commit(), await commit()]
  expect(new Set(versions.map(({ epoch }) => epoch)).size).toBe(2)
  const entries = await client.changeLogEntry.findMany({ orderBy: { revision: 'asc' } })
  expect(entries).toMatchObject(versions)
})

test('records have the commits that were made, and not one that was lost whose number was given again', async () => {
  const kept = await commit()
  const putBack = await copyOfRows(pool, 'd')
  const lost = await commit()
  expect(await stillHas(client, 'd', lost)).toBe(true)
  await putBack()
  expect(await stillHas(client, 'd', lost)).toBe(false)
  const next = await commit()
  expect(next.revision).toBe(lost.revision)
  expect(await stillHas(client, 'd', lost)).toBe(false)
  for (const version of [kept, next]) expect(await stillHas(client, 'd', version)).toBe(true)
})

test('the records as they were made are never lost', async () => {
  expect(await stillHas(client, 'd', { revision: 0, epoch: '00000000-0000-4000-8000-000000000000' })).toBe(true)
})
