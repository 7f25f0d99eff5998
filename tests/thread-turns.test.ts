// Lines take turns on the thread: one that sends much keeps no other waiting for all of it.
import { setImmediate as nextLook } from 'node:timers/promises'
import { expect, test, vi } from 'vitest'
import { letOthersBegin, nextTurn, ThreadTurns, threadTurns, workFor } from '../src/thread-turns.ts'

/** Takes turns for these in their order at one instant, and answers in which order they go on. */
async function order(turns: ThreadTurns, asked: readonly string[]): Promise<string[]> {
  const begun: string[] = []
  await Promise.all(asked.map((name) => turns.take({ line: name.charAt(0) }).then(() => begun.push(name))))
  return begun
}

/** Turns by a clock that goes on by `each` milliseconds with each look at it. */
function turnsOf(each: number): ThreadTurns {
  let now = 0
  return new ThreadTurns(() => {
    now += each
    return now
  })
}

test('work begins at once where nothing else has the turn, and goes on at once', async () => {
  const turns = new ThreadTurns(() => 0)
  const [a, b] = [{ line: 'a' }, { line: 'b' }]
  const begun: string[] = []
  for (const asker of [a, a, b]) void turns.take(asker).then(() => begun.push(asker.line))
  await Promise.resolve()
  expect(begun).toEqual(['a', 'a'])
})

test('work that rests or ends gives its turn away, though its time is not over', async () => {
  const turns = new ThreadTurns(() => 0)
  const [a, b] = [{ line: 'a' }, { line: 'b' }]
  await turns.take(a)
  let looks = 0
  const taken = turns.take(b).then(() => looks)
  for (; looks < 9; looks += 1) await nextLook()
  expect(await taken).toBeLessThanOrEqual(5)
  turns.end(b)
  const begun: string[] = []
  void turns.take(a).then(() => begun.push('a'))
  await Promise.resolve()
  expect(begun).toEqual(['a'])
})

test('of lines that wait each has a turn before any has its next', async () => {
  // Each turn is over when it is next looked at.
  const begun = await order(turnsOf(20), ['a1', 'a2', 'a3', 'a4', 'b1', 'b2', 'c1'])
  expect(begun).toEqual(['a1', 'b1', 'c1', 'a2', 'b2', 'a3', 'a4'])
})

test('what has the turn goes on with its own work until the turn is over, for longer where its line had none', async () => {
  let now = 0
  const turns = new ThreadTurns(() => now)
  const begun: string[] = []
  const again = async (line: string) => {
    const asker = { line }
    for (let n = 1; n <= 12; n += 1) {
      await turns.take(asker)
      begun.push(line)
      now += 4
    }
  }
  await Promise.all([again('a'), again('b')])
  // Thirty milliseconds, then five: eight times four use up the one, twice four the other.
  const each = (count: number) => `${'a'.repeat(count)}${'b'.repeat(count)}`
  expect(begun.join('')).toBe(`${each(8)}${each(2)}${each(2)}`)
})

test('one that had no turn in this round comes before those that had', async () => {
  const turns = turnsOf(20)
  const begun: string[] = []
  const ask = (name: string) => turns.take({ line: name.charAt(0) }).then(() => begun.push(name))
  const greedy = ['a1', 'a2', 'a3', 'a4', 'a5'].map(ask)
  await nextLook()
  await nextLook()
  const late = begun.length
  await Promise.all([...greedy, ask('b1')])
  expect(begun.indexOf('b1')).toBe(late)
})

test('one that asks again at once does not keep others from their turn', async () => {
  const turns = turnsOf(20)
  const begun: string[] = []
  const again = async (name: string) => {
    for (let n = 1; n <= 6; n += 1) {
      await turns.take({ line: name })
      begun.push(name)
    }
  }
  await Promise.all([again('a'), again('b'), again('c')])
  for (const name of ['a', 'b', 'c'])
    expect(begun.slice(0, 9).filter((each) => each === name).length).toBeGreaterThanOrEqual(2)
})

test('a line alone looks outside after some milliseconds of work', async () => {
  let now = 0
  const turns = new ThreadTurns(() => now)
  const a = { line: 'a' }
  let heard = 0
  setImmediate(() => {
    heard += 1
  })
  await turns.take(a)
  now = 4
  await turns.take(a)
  expect(heard).toBe(0)
  now = 5
  await turns.take(a)
  expect(heard).toBe(1)
})

test('what needs something else that is not free waits until it is, and keeps no other waiting', async () => {
  const turns = new ThreadTurns()
  let isFree = false
  const begun: string[] = []
  const waiting = turns.take({ line: 'a' }, () => isFree).then(() => begun.push('a'))
  await turns.take({ line: 'b' }).then(() => begun.push('b'))
  for (let looks = 0; looks < 5; looks += 1) await nextLook()
  expect(begun).toEqual(['b'])
  isFree = true
  turns.lookAgain()
  await waiting
  expect(begun).toEqual(['b', 'a'])
})

test('what is done for an asker stands in its line, however deep, and what is done for none in one of our own', async () => {
  const take = vi.spyOn(threadTurns, 'take').mockResolvedValue()
  await workFor({ line: 'other' }, async () => {
    await Promise.resolve()
    await nextTurn()
  })
  await nextTurn()
  expect(take.mock.calls.map(([{ line }]) => line)).toEqual(['other', 'ourselves'])
  take.mockRestore()
})

test('work that lets others begin goes on after those that wait in its line', async () => {
  const [first, ...others] = ['a1', 'a2', 'a3']
  const begun: string[] = []
  const leading = workFor({ line: 'a' }, async () => {
    await nextTurn()
    await letOthersBegin()
    begun.push(first ?? '')
  })
  await Promise.all([leading, ...others.map((name) => threadTurns.take({ line: 'a' }).then(() => begun.push(name)))])
  expect(begun).toEqual(['a2', 'a3', 'a1'])
})
