// News of promises for one whose connection broke: all since the revision that was heard last, once each, and then what comes.
import { expect, test } from 'vitest'
import type { ChangeKind } from '../../../src/database/change-kinds.ts'
import { withDistributorLock } from '../../../src/database/distributor-lock.ts'
import { AT_RISK } from '../../../src/resolvers/orders/note-risks.ts'
import { MOST_WAITING, watchPromises } from '../../../src/resolvers/orders/watch-promises.ts'
import { copyOfRows } from '../../support/copied-rows.ts'
import { openTestDatabase, recordStatements } from '../../support/database.ts'

const { client, pool, clock } = await openTestDatabase()
await client.distributor.create({ data: { id: 'd', name: 'D', timeZone: 'UTC' } })
const actor = { client, clock, distributorId: 'd' }

const event = {
  ...{ promisedOn: '2027-03-10', expectedOn: null, containers: 1, reasons: [] },
  cause: { kind: 'VESSEL_CHANGED', type: 'Vessel', id: 'v' },
}

/** Commits news of so many lines; answers the revision. */
async function news(lines = 1, kind: ChangeKind = AT_RISK): Promise<number> {
  const { revision } = await withDistributorLock(actor, 'd', async ({ log }) => {
    for (let n = 1; n <= lines; n += 1) log(kind, { type: 'OrderLine', id: `line-${n}` }, undefined, event)
  })
  return revision
}

/** The revisions of the next news. */
async function take(heard: AsyncIterator<{ revision: number }>, count: number): Promise<number[]> {
  const revisions: number[] = []
  while (revisions.length < count) {
    const { value, done } = await heard.next()
    if (done) break
    revisions.push(value.revision)
  }
  return revisions
}

test('what happened since a revision is heard first, then what comes: nothing is missed and nothing comes twice', async () => {
  const seen = await news()
  const missed = [await news(), await news(), await news()]
  const writing = [news(), news()]
  const heard = await watchPromises(actor, seen)
  const later = [...(await Promise.all(writing)), await news(), await news()]
  expect(await take(heard, 7)).toEqual([...missed, ...later.sort((a, b) => a - b)])
  await heard.return?.()
})

test('without a revision only what comes from now on is heard', async () => {
  await news()
  const heard = await watchPromises(actor)
  const next = await news(2)
  expect(await take(heard, 2)).toEqual([next, next])
  await heard.return?.()
})

test('the log is read once for all who listen', async () => {
  const listeners = await Promise.all(Array.from({ length: 20 }, () => watchPromises(actor)))
  const { statements } = await recordStatements(async () => {
    const next = await news()
    for (const heard of listeners) expect(await take(heard, 1)).toEqual([next])
  })
  expect(
    statements.filter((each) => each.includes('PROMISE_AT_RISK') || /"kind" IN/.test(each)).length,
  ).toBeLessThanOrEqual(1)
  for (const heard of listeners) await heard.return?.()
})

const GONE = { code: 'NEWS_GONE', kind: 'CONFLICT', action: expect.stringMatching(/anew/) }

test('a revision that the records do not have, or whose log is gone, is refused', async () => {
  const now = await news()
  await expect(watchPromises(actor, now + 1)).rejects.toMatchObject(GONE)
  await expect(watchPromises(actor, -1)).rejects.toMatchObject(GONE)
  await client.changeLogEntry.deleteMany({ where: { revision: { lt: now } } })
  await expect(watchPromises(actor, now - 2)).rejects.toMatchObject(GONE)
  const heard = await watchPromises(actor, now - 1)
  expect(await take(heard, 1)).toEqual([now])
  await heard.return?.()
})

test('more than is read at once is refused, and one who listens too slowly learns of it after what waits', async () => {
  const seen = await news()
  const heard = await watchPromises(actor)
  await news(MOST_WAITING + 1)
  await expect(watchPromises(actor, seen)).rejects.toMatchObject(GONE)
  const slow = take(heard, MOST_WAITING + 2)
  await expect(slow).rejects.toMatchObject(GONE)
})

test('where the records lose commits all who listen learn that they must read them anew', async () => {
  await news()
  const putBack = await copyOfRows(pool, 'd')
  await news()
  const heard = await watchPromises(actor)
  // Expected from here on: it may come before the news are all written.
  const refused = expect(heard.next()).rejects.toMatchObject(GONE)
  await putBack()
  await news()
  await news()
  await refused
})
