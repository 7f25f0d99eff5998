// Requests of one distributor begin one after the other, and those of others in between.
import { setImmediate as nextLook } from 'node:timers/promises'
import { expect, test } from 'vitest'
import { RequestTurns, slices } from '../../src/resolvers/request-turns.ts'

/** Takes turns for these in their order at one instant, and answers in which order they begin. */
async function order(turns: RequestTurns, asked: readonly string[]): Promise<string[]> {
  const begun: string[] = []
  await Promise.all(asked.map((name) => turns.take(name.charAt(0)).then(() => begun.push(name))))
  return begun
}

test('a request begins at once where none has begun since the process last looked outside', async () => {
  const turns = new RequestTurns()
  const begun: string[] = []
  void turns.take('a').then(() => begun.push('a'))
  await Promise.resolve()
  expect(begun).toEqual(['a'])
})

test('requests of one distributor begin in the order in which they came, one for each look outside', async () => {
  const turns = new RequestTurns()
  let begun = 0
  const all = Array.from({ length: 4 }, () => turns.take('a').then(() => begun++))
  for (let looks = 1; looks <= 4; looks += 1) {
    await nextLook()
    expect(begun).toBeLessThanOrEqual(looks + 1)
  }
  await Promise.all(all)
  expect(await order(turns, ['a1', 'a2', 'a3'])).toEqual(['a1', 'a2', 'a3'])
})

test('of distributors that wait each has one begun before any has its next', async () => {
  const begun = await order(new RequestTurns(), ['a1', 'a2', 'a3', 'a4', 'b1', 'b2', 'c1'])
  expect(begun).toEqual(['a1', 'a2', 'b1', 'c1', 'a3', 'b2', 'a4'])
})

test('one that had no turn in this round comes before those that had', async () => {
  const turns = new RequestTurns()
  const begun: string[] = []
  const ask = (name: string) => turns.take(name.charAt(0)).then(() => begun.push(name))
  const greedy = ['a1', 'a2', 'a3', 'a4', 'a5'].map(ask)
  await nextLook()
  await nextLook()
  const late = begun.length
  await Promise.all([...greedy, ask('b1')])
  expect(begun.indexOf('b1')).toBe(late)
})

test('one that asks again at once does not keep others from their turn', async () => {
  const turns = new RequestTurns()
  const begun: string[] = []
  const again = async (name: string) => {
    for (let n = 1; n <= 6; n += 1) {
      await turns.take(name)
      begun.push(name)
    }
  }
  await Promise.all([again('a'), again('b'), again('c')])
  for (const name of ['a', 'b', 'c'])
    expect(begun.slice(0, 9).filter((each) => each === name).length).toBeGreaterThanOrEqual(2)
})

test('an answer that takes long waits for its next turn after a slice of time, and a short one does not', async () => {
  let [taken, now] = [0, 5]
  const take = async () => {
    taken += 1
  }
  const sliceEnds = slices(take, () => now)
  now = 14
  await sliceEnds()
  expect(taken).toBe(0)
  now = 15
  await sliceEnds()
  await sliceEnds()
  expect(taken).toBe(1)
})
