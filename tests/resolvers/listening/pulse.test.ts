// One look at a distributor's records for all who listen, and none where no one does.
import { setTimeout as wait } from 'node:timers/promises'
import { afterEach, expect, test, vi } from 'vitest'
import { withDistributorLock } from '../../../src/database/distributor-lock.ts'
import { joinPulse, type Sight, type Wanted } from '../../../src/resolvers/listening/pulse.ts'
import { Streams } from '../../../src/resolvers/listening/streams.ts'
import { openTestDatabase, recordStatements } from '../../support/database.ts'
import { eventually } from '../../support/eventually.ts'

const { client, clock } = await openTestDatabase()
await client.distributor.createMany({ data: ['d', 'e'].map((id) => ({ id, name: id, timeZone: 'UTC' })) })
const hash = (id: string) => id.repeat(64)
await client.apiKey.createMany({
  data: ['a', 'b'].map((id) => ({
    ...{ distributorId: 'd', id, name: id, hash: hash(id), scopes: ['orders:read'], createdAt: clock.now() },
  })),
})

const leaving: (() => void)[] = []
afterEach(() => {
  for (const leave of leaving.splice(0)) leave()
})

/** Listens until the test ends; what it sees, and what it fails with. */
function listen(wanted: Wanted = {}, distributorId = 'd') {
  const sights: Sight[] = []
  const fail = vi.fn()
  const leave = joinPulse(client, distributorId, { wanted, hear: (sight) => void sights.push(sight), fail })
  leaving.push(leave)
  return { sights, fail, leave }
}

const commit = () =>
  withDistributorLock({ client, clock }, 'd', async ({ log }) =>
    log('ORDER_AMENDED', { type: 'Order', id: 'o' }, undefined, {}),
  )

const looksIn = (statements: readonly string[]) => statements.filter((each) => each.includes('"goodKeys"')).length

test('fifty who listen cost as many looks as one, and each hears of a commit at once', async () => {
  const waited: number[] = []
  const { statements } = await recordStatements(async () => {
    const listeners = Array.from({ length: 50 }, () => listen())
    await eventually(() => expect(listeners.every(({ sights }) => sights.length > 0)).toBe(true))
    for (let commits = 0; commits < 5; commits += 1) {
      const { revision } = await commit()
      const began = performance.now()
      await eventually(() => expect(listeners.every(({ sights }) => sights.at(-1)?.revision === revision)).toBe(true))
      waited.push(performance.now() - began)
    }
  })
  // By itself a look comes a second after the one before; a busy machine may keep some of the commits waiting.
  expect(Math.min(...waited)).toBeLessThan(800)
  expect(looksIn(statements)).toBeLessThanOrEqual(20)
})

test('where no one listens nothing is looked at', async () => {
  const { leave, sights } = listen()
  await eventually(() => expect(sights).toHaveLength(1))
  leave()
  await wait(50)
  const { statements } = await recordStatements(() => wait(1300))
  expect(looksIn(statements)).toBe(0)
})

test('each distributor is looked at by itself', async () => {
  const [one, other] = [listen(), listen({}, 'e')]
  await eventually(() => expect([one.sights.length, other.sights.length]).toEqual([1, 1]))
  expect(other.sights[0]?.epoch).not.toBe(one.sights[0]?.epoch)
})

test('a key has so many streams at a time; one that closes makes room, and another key has its own', () => {
  const streams = new Streams(client, 2)
  const ofKey = { distributorId: 'd', keyId: 'a' }
  const [first, second] = [streams.open(ofKey), streams.open(ofKey)]
  expect(() => streams.open(ofKey)).toThrow(expect.objectContaining({ code: 'TOO_MANY_STREAMS' }))
  const others = streams.open({ distributorId: 'd', keyId: 'b' })
  first.close()
  first.close()
  const third = streams.open(ofKey)
  expect(() => streams.open(ofKey)).toThrow(expect.objectContaining({ code: 'TOO_MANY_STREAMS' }))
  for (const stream of [second, third, others]) stream.close()
})

test('streams end when their key is revoked, and those of other keys go on', async () => {
  const streams = new Streams(client)
  const [revoked, good] = ['a', 'b'].map((keyId) => streams.open({ distributorId: 'd', keyId }))
  await wait(100)
  expect(revoked?.ended.aborted).toBe(false)
  await client.apiKey.updateMany({ where: { id: 'a' }, data: { revokedAt: clock.now() } })
  await eventually(() => expect(revoked?.ended.aborted).toBe(true))
  expect(good?.ended.aborted).toBe(false)
  for (const stream of [revoked, good]) stream?.close()
})

test('where the records cannot be looked at, all who listen hear of it and nothing more', async () => {
  const { fail, sights } = listen({}, 'none')
  await eventually(() => expect(fail).toHaveBeenCalledOnce())
  expect(sights).toEqual([])
})
