// Whose turn it is: short searches overtake long ones, and none waits for ever.
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { SearchQueue, SHORT_SECONDS } from '../../../src/resolvers/plans/search-queue.ts'

/** A queue with a clock of its own: who began, in order. */
function queueOf(places: number) {
  let now = 0
  const begun: string[] = []
  const queue = new SearchQueue(places, () => now)
  return {
    begun,
    at: (seconds: number) => {
      now = seconds
    },
    enter: (name: string, seconds: number) => queue.enter(seconds, () => begun.push(name)),
  }
}

test('a short search begins beside a long one, though there is one place', () => {
  const { begun, enter } = queueOf(1)
  enter('long', 60)
  enter('other long', 60)
  enter('short', 1)
  expect(begun).toEqual(['long', 'short'])
})

test('a second short one waits for the first, and not for the long one', () => {
  const { begun, enter } = queueOf(1)
  enter('long', 60)
  const leave = enter('short', 1)
  enter('next', SHORT_SECONDS)
  expect(begun).toEqual(['long', 'short'])
  leave()
  expect(begun).toEqual(['long', 'short', 'next'])
})

test('of those that wait the shorter one comes first, and of equals the one that was asked for first', () => {
  const { begun, enter } = queueOf(1)
  const leave = enter('long', 60)
  enter('a', 40)
  enter('b', 20)
  enter('c', 20)
  leave()
  expect(begun).toEqual(['long', 'b'])
})

test('whatever waits for as long as it takes is not overtaken by what is asked for afterwards', () => {
  const { begun, enter, at } = queueOf(1)
  const leave = enter('running', 60)
  enter('patient', 30)
  at(29)
  enter('asked before', 0.5 + SHORT_SECONDS)
  at(31)
  enter('asked after', 0.5 + SHORT_SECONDS)
  leave()
  expect(begun).toEqual(['running', 'patient'])
})

test('a turn that is given up before it came is no one’s, and a place is given back once', () => {
  const { begun, enter } = queueOf(1)
  const leave = enter('long', 60)
  const giveUp = enter('given up', 20)
  enter('next', 30)
  enter('last', 40)
  giveUp()
  leave()
  leave()
  expect(begun).toEqual(['long', 'next'])
})

const searches = fc.array(fc.record({ seconds: fc.integer({ min: 0, max: 60 }), after: fc.nat(30) }), { maxLength: 30 })

test('whatever is asked for, all get their turn, no more run at once than may, and long ones keep to their places', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 3 }), searches, (places, asked) => {
      let now = 0
      const running = new Map<number, number>()
      const leaves: (() => void)[] = []
      const begun = new Set<number>()
      const queue = new SearchQueue(places, () => now)
      for (const [index, { seconds, after }] of asked.entries()) {
        now += after
        leaves[index] = queue.enter(seconds, () => {
          begun.add(index)
          running.set(index, seconds)
          expect(running.size).toBeLessThanOrEqual(places + 1)
          expect([...running.values()].filter((each) => each > SHORT_SECONDS).length).toBeLessThanOrEqual(places)
        })
      }
      while (running.size > 0) {
        const [first = 0] = running.keys()
        running.delete(first)
        leaves[first]?.()
      }
      expect(begun.size).toBe(asked.length)
    }),
  )
})
