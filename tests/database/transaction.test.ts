import { beforeEach, expect, test } from 'vitest'
import { inTransaction, isTransactionConflict } from '../../src/database/transaction.ts'
import { emptyDatabase, openTestDatabase } from '../support/database.ts'

const { client, pool, onServer } = await openTestDatabase()

beforeEach(async () => {
  await emptyDatabase(pool)
  await client.distributor.createMany({
    data: ['a', 'b'].map((id) => ({ id, name: id, timeZone: 'UTC' })),
  })
})

/** Fails as PostgreSQL does when it gives a transaction up, with the given SQLSTATE. */
const giveUp = (state: string) => `DO $$ BEGIN RAISE EXCEPTION 'gave up' USING ERRCODE = '${state}'; END $$`

test.each(['40001', '40P01'])('work that the database gives up with %s is done again, whole', async (state) => {
  let attempts = 0
  const result = await inTransaction(client, async (tx) => {
    attempts += 1
    await tx.distributor.update({ where: { id: 'a' }, data: { revision: { increment: 1 } } })
    if (attempts < 3) await tx.$executeRawUnsafe(giveUp(state))
    return 'done'
  })
  expect({ result, attempts }).toEqual({ result: 'done', attempts: 3 })
  expect(await client.distributor.findUnique({ where: { id: 'a' } })).toMatchObject({ revision: 1 })
})

test('a conflict that shows only at commit is one too', async () => {
  await pool.query(`
    CREATE TABLE probe (at INTEGER);
    CREATE FUNCTION give_up() RETURNS trigger LANGUAGE plpgsql AS
      $$ BEGIN RAISE EXCEPTION 'gave up' USING ERRCODE = '40001'; END $$;
    CREATE CONSTRAINT TRIGGER give_up AFTER INSERT ON probe DEFERRABLE INITIALLY DEFERRED
      FOR EACH ROW EXECUTE FUNCTION give_up()`)
  try {
    let attempts = 0
    await inTransaction(client, async (tx) => {
      attempts += 1
      if (attempts < 3) await tx.$executeRaw`INSERT INTO probe VALUES (1)`
    })
    expect(attempts).toBe(3)
    expect((await pool.query('SELECT FROM probe')).rowCount).toBe(0)
  } finally {
    await pool.query('DROP TABLE probe; DROP FUNCTION give_up()')
  }
})

test('a transaction that keeps losing is refused because the records are busy, and nothing of the work stays', async () => {
  let attempts = 0
  const work = inTransaction(client, async (tx) => {
    attempts += 1
    await tx.distributor.update({ where: { id: 'a' }, data: { revision: 9 } })
    await tx.$executeRawUnsafe(giveUp('40001'))
  })
  await expect(work).rejects.toMatchObject({ code: 'BUSY', kind: 'BUSY', retryAfterSeconds: 1 })
  expect(attempts).toBe(6)
  expect(await client.distributor.findUnique({ where: { id: 'a' } })).toMatchObject({ revision: 0 })
})

test('any other failure is not tried again', async () => {
  let attempts = 0
  const work = inTransaction(client, async (tx) => {
    attempts += 1
    await tx.distributor.create({ data: { id: 'a', name: 'twice', timeZone: 'UTC' } })
  })
  await expect(work).rejects.toMatchObject({ code: 'P2002' })
  expect(attempts).toBe(1)
  expect(isTransactionConflict(new Error('40001'))).toBe(false)
})

// The embedded database has one connection, on which nothing can stand in another's way.
if (onServer) {
  test('two serialisable transactions that read what the other writes both come through', async () => {
    const both = ['a', 'b'].map((mine) =>
      inTransaction(
        client,
        async (tx) => {
          const rows = await tx.distributor.findMany()
          const sum = rows.reduce((total, { revision }) => total + revision, 0)
          await tx.distributor.update({ where: { id: mine }, data: { revision: sum + 1 } })
        },
        'Serializable',
      ),
    )
    await Promise.all(both)
    const rows = await client.distributor.findMany({ orderBy: { revision: 'asc' } })
    // One came first and saw 0; the other saw its 1. Both seeing 0 would be the anomaly.
    expect(rows.map(({ revision }) => revision)).toEqual([1, 2])
  })

  test('two transactions that wait for each other both come through', async () => {
    const inOrder = (first: string, second: string) =>
      inTransaction(client, async (tx) => {
        await tx.distributor.update({ where: { id: first }, data: { revision: { increment: 1 } } })
        await new Promise((resolve) => setTimeout(resolve, 50))
        await tx.distributor.update({ where: { id: second }, data: { revision: { increment: 1 } } })
      })
    await Promise.all([inOrder('a', 'b'), inOrder('b', 'a')])
    const rows = await client.distributor.findMany()
    expect(rows.map(({ revision }) => revision)).toEqual([2, 2])
  })
}
