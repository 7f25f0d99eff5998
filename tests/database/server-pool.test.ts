// A database that is slow, locked, frozen or gone: the write fails in stated time with a typed refusal, nothing of it is done,
// and service goes on by itself.
import { once } from 'node:events'
import { connect, createServer, type Socket } from 'node:net'
import { setTimeout as wait } from 'node:timers/promises'
import { beforeEach, expect, test } from 'vitest'
import { createClient } from '../../src/database/client.ts'
import { withDistributorLock } from '../../src/database/distributor-lock.ts'
import { claimOnce, OnceHandle } from '../../src/database/once.ts'
import { refusedByDatabase } from '../../src/database/refused-by-database.ts'
import { openServer, SERVER_LIMITS } from '../../src/database/server-pool.ts'
import { inTransaction } from '../../src/database/transaction.ts'
import { Busy } from '../../src/errors.ts'
import { emptyDatabase, openTestDatabase, serverUrl } from '../support/database.ts'

const { client, pool, clock } = await openTestDatabase()

beforeEach(async () => {
  await emptyDatabase(pool)
  await client.distributor.create({ data: { id: 'a', name: 'a', timeZone: 'UTC' } })
})

const REFUSALS = [
  ['55P03', 'BUSY', 1],
  ['57014', 'DATABASE_SLOW', 5],
  ['57P01', 'DATABASE_AWAY', 5],
  ['57P03', 'DATABASE_AWAY', 5],
  ['25P03', 'DATABASE_AWAY', 5],
  ['08006', 'DATABASE_AWAY', 5],
  ['53300', 'DATABASE_AWAY', 5],
] as const

test.each(REFUSALS)(
  'a statement that fails with %s is refused as %s, and not tried again',
  async (state, code, retryAfterSeconds) => {
    let attempts = 0
    const work = inTransaction(client, async (tx) => {
      attempts += 1
      await tx.distributor.update({ where: { id: 'a' }, data: { name: 'b' } })
      await tx.$executeRawUnsafe(`DO $$ BEGIN RAISE EXCEPTION 'no' USING ERRCODE = '${state}'; END $$`)
    })
    await expect(work).rejects.toMatchObject({ code, kind: 'BUSY', retryAfterSeconds })
    expect(attempts).toBe(1)
    expect(await client.distributor.findUnique({ where: { id: 'a' } })).toMatchObject({ name: 'a' })
  },
)

test('a query of the client that fails so is refused by the same words', async () => {
  const failing = client.$queryRawUnsafe(`DO $$ BEGIN RAISE EXCEPTION 'no' USING ERRCODE = '57014'; END $$`)
  const error: unknown = await failing.catch((thrown: unknown) => thrown)
  expect(refusedByDatabase(error)).toMatchObject({ code: 'DATABASE_SLOW' })
})

test('a lock is waited for 10 s, a statement 30 s and an answer 35 s, a transaction idles for 30 s, and connections are kept alive', () => {
  expect(SERVER_LIMITS).toEqual({ lockSeconds: 10, statementSeconds: 30, answerSeconds: 35, idleSeconds: 30 })
  const { pool: usual } = openServer('postgresql://nowhere.example/none', 1, SERVER_LIMITS)
  expect(usual.options).toMatchObject({ keepAlive: true, connectionTimeoutMillis: 10_000 })
})

if (serverUrl !== undefined) {
  test('a request is claimed under its key while another writes: it does not wait for the lock before it waits for its turn', async () => {
    const request = { distributorId: 'a', key: 'k once', payloadHash: '0'.repeat(64) }
    await withDistributorLock({ client, clock }, 'a', async () => {
      const claimed = claimOnce(client, clock.now(), request)
      expect(await Promise.race([claimed, wait(5_000)])).toBeInstanceOf(OnceHandle)
    })
  })

  const { hostname, port } = new URL(serverUrl)
  const { rows } = await pool.query<{ name: string }>('SELECT current_database() AS name')

  /** A way to the server that can be frozen, so that nothing comes through and nothing is closed; and thawed. */
  async function throughIce() {
    const pairs: [Socket, Socket][] = []
    let frozen = false
    const ice = createServer((inner) => {
      const outer = connect(Number(port || 5432), hostname)
      pairs.push([inner, outer])
      for (const [from, to] of [
        [inner, outer],
        [outer, inner],
      ] as const) {
        from.on('data', (piece) => to.write(piece))
        from.on('close', () => to.destroy())
        from.on('error', () => to.destroy())
        if (frozen) from.pause()
      }
    }).listen(0, '127.0.0.1')
    await once(ice, 'listening')
    const address = ice.address()
    if (address === null || typeof address === 'string') throw new Error('the proxy has no port')
    const url = new URL(serverUrl ?? '')
    url.host = `127.0.0.1:${address.port}`
    url.pathname = `/${rows[0]?.name}`
    const each = (what: 'pause' | 'resume') => {
      frozen = what === 'pause'
      for (const pair of pairs) for (const socket of pair) socket[what]()
    }
    return {
      url: url.href,
      freeze: () => each('pause'),
      thaw: () => each('resume'),
      close: () => {
        ice.close()
        for (const pair of pairs) for (const socket of pair) socket.destroy()
      },
    }
  }

  const LIMITS = { lockSeconds: 1, statementSeconds: 2, answerSeconds: 3, idleSeconds: 1 }
  const ice = await throughIce()
  const limited = openServer(ice.url, 2, LIMITS)
  const errors: Error[] = []
  limited.pool.on('error', (error) => errors.push(error))
  const actor = { client: createClient(limited.pool), clock }
  const nameNow = async () => (await client.distributor.findUniqueOrThrow({ where: { id: 'a' } })).name

  /** Renames the distributor and goes on with `then`, all or nothing. Answers how it failed and after how many seconds. */
  async function renaming(name: string, then: () => Promise<unknown> = async () => undefined) {
    const began = performance.now()
    const error: unknown = await withDistributorLock(actor, 'a', async ({ tx }) => {
      await tx.distributor.update({ where: { id: 'a' }, data: { name } })
      await then()
      await tx.$queryRaw`SELECT 1`
    }).then(
      () => undefined,
      (thrown: unknown) => thrown,
    )
    return { error, seconds: (performance.now() - began) / 1000 }
  }

  test('every connection has the limits of the settings', async () => {
    const usual = openServer(ice.url, 1, SERVER_LIMITS)
    const shown = async (name: string) => (await usual.pool.query(`SHOW ${name}`)).rows[0]
    expect(await shown('lock_timeout')).toEqual({ lock_timeout: '10s' })
    expect(await shown('statement_timeout')).toEqual({ statement_timeout: '30s' })
    expect(await shown('idle_in_transaction_session_timeout')).toEqual({ idle_in_transaction_session_timeout: '30s' })
    await usual.close()
  })

  test('a lock that another process keeps is waited for no longer than its limit', async () => {
    const other = await pool.connect()
    await other.query(`BEGIN; SELECT FROM "Distributor" WHERE "id" = 'a' FOR UPDATE`)
    const { error, seconds } = await renaming('b')
    await other.query('ROLLBACK')
    other.release()
    expect(error).toBeInstanceOf(Busy)
    expect(error).toMatchObject({ code: 'BUSY', retryAfterSeconds: 1 })
    expect(seconds).toBeGreaterThan(0.9)
    expect(seconds).toBeLessThan(LIMITS.lockSeconds + 3)
    expect(await nameNow()).toBe('a')
  })

  test('a statement that takes too long gives up the whole write', async () => {
    const { error } = await renaming('b', () => actor.client.$queryRaw`SELECT FROM pg_sleep(5)`)
    expect(error).toMatchObject({ code: 'DATABASE_SLOW', kind: 'BUSY' })
    expect(await nameNow()).toBe('a')
  })

  test('a write that stands still between two statements lets go of its lock, and is refused', async () => {
    const { error } = await renaming('b', () => wait(2000))
    expect(error).toMatchObject({ code: 'DATABASE_AWAY' })
    expect(await nameNow()).toBe('a')
    expect((await renaming('c')).error).toBeUndefined()
    expect(await nameNow()).toBe('c')
  })

  test('a database that freezes in the middle of a write fails it in time, and nothing of it stays once it is back', async () => {
    const { error, seconds } = await renaming('b', async () => ice.freeze())
    expect(error).toMatchObject({ code: 'DATABASE_AWAY', retryAfterSeconds: 5 })
    expect(seconds).toBeLessThan(LIMITS.answerSeconds + 3)
    ice.thaw()
    await expect.poll(async () => (await renaming('c')).error).toBeUndefined()
    expect(await nameNow()).toBe('c')
    expect(await client.changeLogEntry.count()).toBe(0)
  })

  test('a connection that was idle for long is closed as well when it falls silent at its next statement', async () => {
    await limited.pool.query('SELECT 1')
    await wait(LIMITS.answerSeconds * 1000 + 500)
    const { error, seconds } = await renaming('d', async () => ice.freeze())
    expect(error).toMatchObject({ code: 'DATABASE_AWAY' })
    expect(seconds).toBeLessThan(LIMITS.answerSeconds + 3)
    ice.thaw()
    await expect.poll(async () => (await renaming('c')).error).toBeUndefined()
  })

  test('a connection that is idle is left alone, however long it gives no sign', async () => {
    await limited.pool.query('SELECT 1')
    const before = errors.length
    await wait(LIMITS.answerSeconds * 1000 + 500)
    expect((await limited.pool.query('SELECT 1 AS one')).rows).toEqual([{ one: 1 }])
    expect(errors.length).toBe(before)
    await limited.close()
    ice.close()
  })
}
