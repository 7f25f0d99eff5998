// What happens to calls that are sent twice, to two servers at once, or to one that is killed; and an ordering system that lives through all of
// that. On a server that is named; 10,000 acts in the long run.
import { setTimeout as wait } from 'node:timers/promises'
import type pg from 'pg'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Database } from '../../src/database/open-database.ts'
import { House } from '../../tools/ordering/house.ts'
import { mutationOf } from '../../tools/ordering/orders.ts'
import { simulate } from '../../tools/ordering/simulate.ts'
import { LONG } from '../support/sampled.ts'

const serverUrl = process.env.TEST_DATABASE_URL || undefined
const MINUTE = 60_000
const OPERATIONS = LONG ? 10_000 : 30

interface Answer {
  status: number
  text: string
}

describe.runIf(serverUrl)('on PostgreSQL, through two servers', () => {
  let house: House
  let database: Database
  beforeAll(async () => {
    house = await House.open({ serverUrl, servers: 2, workers: 1 })
    database = await house.look()
  }, 3 * MINUTE)
  afterAll(async () => {
    await database?.close()
    await house?.close()
  }, MINUTE)

  /** Places the order of a reference at a server, under the key of the same name. */
  const place = async (server: number, externalRef: string): Promise<Answer> => {
    const { accounts, pack, serveOn } = house.wanted
    const lines = [{ pack: { externalRef: pack }, quantity: 1 }]
    const input = { externalRef, account: { externalRef: accounts[0] }, serveOn, accept: 'AS_DEMAND', lines }
    const headers = {
      ...{ 'content-type': 'application/json', authorization: `Bearer ${house.key}` },
      ...{ 'idempotency-key': `"${externalRef}"` },
    }
    const body = JSON.stringify({ query: mutationOf('placeOrder'), variables: { input } })
    const response = await fetch(`${house.addresses()[server]}/graphql`, { method: 'POST', headers, body })
    return { status: response.status, text: await response.text() }
  }
  const placed = (externalRef: string) => database.client.order.count({ where: { externalRef } })
  const inProgress = (answer: Answer) => answer.status === 409 && answer.text.includes('IDEMPOTENT_IN_PROGRESS')

  /** Does `work` while no one can write the brewery's records. */
  const whileLocked = async (work: () => Promise<void>) => {
    const connection: pg.PoolClient = await database.pool.connect()
    try {
      await connection.query('BEGIN')
      // Less than what a writer takes: rows that only name the brewery, such as claims, can be written.
      await connection.query('SELECT 1 FROM "Distributor" FOR NO KEY UPDATE')
      await work()
    } finally {
      await connection.query('ROLLBACK')
      connection.release()
    }
  }
  const claims = (externalRef: string) =>
    database.client.idempotencyKey.findMany({ where: { key: { endsWith: ` ${externalRef}` } } })
  const claimed = async (externalRef: string) => {
    while ((await claims(externalRef)).length === 0) await wait(20)
    // Let it come as far as the lock.
    await wait(300)
  }
  /** Lets the time of all claims pass. */
  const lapse = () =>
    database.client.$executeRaw`UPDATE "IdempotencyKey" SET "claimedUntil" = now() - interval '1 second'`

  test(
    'a key that is sent to two servers at once places one order; the other is answered the same, or that it is in progress',
    async () => {
      for (let n = 1; n <= (LONG ? 100 : 4); n += 1) {
        const answers = await Promise.all([place(0, `AT-ONCE-${n}`), place(1, `AT-ONCE-${n}`)])
        const done = answers.filter(({ status }) => status === 200)
        expect(done.length).toBeGreaterThan(0)
        expect(new Set(done.map(({ text }) => text)).size).toBe(1)
        expect(answers.every((answer) => answer.status === 200 || inProgress(answer))).toBe(true)
        expect(await placed(`AT-ONCE-${n}`)).toBe(1)
      }
    },
    2 * MINUTE,
  )

  test(
    'a request whose claim has run out while it waits does not run beside the one that took it over',
    async () => {
      let answers: Promise<Answer[]> | undefined
      await whileLocked(async () => {
        const slow = place(0, 'SLOW')
        await claimed('SLOW')
        expect(inProgress(await place(1, 'SLOW'))).toBe(true)
        await lapse()
        answers = Promise.all([slow, place(1, 'SLOW')])
        await wait(500)
      })
      const [slow, second] = (await answers) ?? []
      expect(await placed('SLOW')).toBe(1)
      expect(slow && inProgress(slow)).toBe(true)
      expect(second).toMatchObject({ status: 200, text: expect.stringContaining('OrderPayload') })
      expect(await place(0, 'SLOW')).toEqual(second)
    },
    2 * MINUTE,
  )

  test(
    'a server that is killed between the claim and the answer leaves a request that runs once when it is repeated',
    async () => {
      let victim: { start(): Promise<void> } | undefined
      await whileLocked(async () => {
        const broken = place(0, 'KILLED').then(
          () => false,
          () => true,
        )
        await claimed('KILLED')
        victim = await house.killServer(0)
        expect(await broken).toBe(true)
      })
      expect(inProgress(await place(1, 'KILLED'))).toBe(true)
      await lapse()
      const answer = await place(1, 'KILLED')
      expect(answer.text).toContain('OrderPayload')
      expect(await placed('KILLED')).toBe(1)
      await victim?.start()
      expect(await place(0, 'KILLED')).toEqual(answer)
    },
    2 * MINUTE,
  )

  test(
    'an ordering system that loses answers and repeats agrees with the server line for line, though processes are killed',
    async () => {
      const killEvery = LONG ? 200 : 12
      const { faults, figures } = await simulate(house, { operations: OPERATIONS, writers: 4, seed: 1, killEvery })
      expect(faults).toEqual([])
      expect(figures.kills).toBeGreaterThan(0)
      expect(figures.lost).toBeGreaterThan(OPERATIONS / 10)
    },
    LONG ? 240 * MINUTE : 5 * MINUTE,
  )
})
