// Several write at once while others follow the feed: each follower sees every commit once, in order, whatever it commits beside.
import { setTimeout as wait } from 'node:timers/promises'
import { expect, test } from 'vitest'
import { randomFrom } from '../../../seeds/random.ts'
import { withDistributorLock } from '../../../src/database/distributor-lock.ts'
import type { Position } from '../../../src/resolvers/changes/position.ts'
import { readChanges } from '../../../src/resolvers/changes/read-changes.ts'
import { openTestDatabase } from '../../support/database.ts'
import { sampledNumbers } from '../../support/sampled.ts'

const { client, clock } = await openTestDatabase()
const WRITERS = 6
const WRITES = 15

test.each(sampledNumbers(1, 10, 2))('every follower sees every commit once and in order: round %i', async (round) => {
  const distributorId = `feed-${round}`
  await client.distributor.create({ data: { id: distributorId, name: 'F', timeZone: 'UTC' } })
  const actor = { client, clock, distributorId }
  let writing = true
  const write = async (writer: number) => {
    const random = randomFrom(100 * round + writer)
    for (let count = 0; count < WRITES; count += 1) {
      const entries = random.int(0, 3)
      await withDistributorLock(actor, distributorId, async ({ log, endRevision }) => {
        for (let n = 0; n < entries; n += 1) {
          log('ACCOUNT_CHANGED', { type: 'Account', id: `${writer}/${count}/${n}` }, {}, {})
          if (random.chance(0.2)) endRevision()
        }
      })
      if (random.chance(0.3)) await wait(random.between(0, 5))
    }
  }
  const follow = async (reader: number) => {
    const random = randomFrom(1000 * round + reader)
    const seen: string[] = []
    let after: Position | undefined
    for (;;) {
      const wasWriting = writing
      const count = random.int(1, 20)
      const page = await readChanges(actor, { after, count, fromEnd: false })
      seen.push(...page.changes.map(({ revision, n, entityId }) => `${revision}.${n} ${entityId}`))
      after = page.position
      if (!page.hasNext && !wasWriting) return seen
      if (!page.hasNext) await wait(1)
    }
  }
  const followers = [1, 2, 3].map(follow)
  await Promise.all(Array.from({ length: WRITERS }, (_, writer) => write(writer)))
  writing = false
  const committed = await client.changeLogEntry.findMany({
    where: { distributorId },
    orderBy: [{ revision: 'asc' }, { n: 'asc' }],
  })
  const all = committed.map(({ revision, n, entityId }) => `${revision}.${n} ${entityId}`)
  expect(all.length).toBeGreaterThan(WRITERS)
  for (const seen of await Promise.all(followers)) expect(seen).toEqual(all)
})
