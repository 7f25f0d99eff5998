// A few requests of a distributor ask the planner at once, some wait for a while, and all others hear when to come again.
import { setTimeout as pause } from 'node:timers/promises'
import { expect, test } from 'vitest'
import { PlannerTurns } from '../../src/resolvers/planner-turns.ts'

const BUSY = expect.objectContaining({ code: 'BUSY', retryAfterSeconds: expect.any(Number) })

/** What has become of a promise so far. */
async function settledSoon(promise: Promise<unknown>): Promise<boolean> {
  const waits = Symbol('waits')
  return (await Promise.race([promise.catch(() => undefined), pause(20, waits)])) !== waits
}

test('two have their turn at once, and a third once one of them has ended', async () => {
  const turns = new PlannerTurns({ atOnce: 2, waiting: 20, seconds: 5 })
  const [first, second] = await Promise.all([turns.take('a'), turns.take('a')])
  const third = turns.take('a')
  expect(await settledSoon(third)).toBe(false)
  first()
  first()
  const end = await third
  expect(await settledSoon(turns.take('a'))).toBe(false)
  second()
  end()
})

test('those that wait have their turns in the order in which they came', async () => {
  const turns = new PlannerTurns({ atOnce: 1, waiting: 20, seconds: 5 })
  const order: number[] = []
  const ask = async (n: number) => {
    const end = await turns.take('a')
    order.push(n)
    end()
  }
  await Promise.all([1, 2, 3, 4, 5].map(ask))
  expect(order).toEqual([1, 2, 3, 4, 5])
})

test('one more than may wait is refused at once, and says when to come again', async () => {
  const turns = new PlannerTurns({ atOnce: 2, waiting: 20, seconds: 5 })
  const asked = Array.from({ length: 22 }, () => turns.take('a'))
  await expect(turns.take('a')).rejects.toEqual(BUSY)
  for (const each of asked) (await each)()
})

test('one whose turn does not come in time is refused, and leaves its place to others', async () => {
  const turns = new PlannerTurns({ atOnce: 1, waiting: 1, seconds: 0.05 })
  const end = await turns.take('a')
  await expect(turns.take('a')).rejects.toEqual(BUSY)
  const next = turns.take('a')
  end()
  ;(await next)()
})

test('a distributor that asks for much keeps no other waiting', async () => {
  const turns = new PlannerTurns({ atOnce: 1, waiting: 5, seconds: 5 })
  const greedy = await turns.take('a')
  const waits = turns.take('a')
  ;(await turns.take('b'))()
  greedy()
  ;(await waits)()
})

test('between two turns what has come meanwhile is let in', async () => {
  const turns = new PlannerTurns({ atOnce: 1, waiting: 5, seconds: 5 })
  const order: string[] = []
  const first = await turns.take('a')
  const second = turns.take('a').then(() => order.push('second'))
  setImmediate(() => order.push('others'))
  first()
  await second
  expect(order).toEqual(['others', 'second'])
})
