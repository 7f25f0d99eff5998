// One who is refused because others wait hears when to come again: soon enough to find the place that is free.
import { expect, test } from 'vitest'
import { MOST_RETRY_SECONDS, secondsUntilTurn } from '../../src/resolvers/retry-after.ts'

test.each([
  ['a queue that is soon through', 20, 16, 50, 1],
  ['a hundred of which sixteen take a second', 100, 16, 400, 3],
  ['a queue before which nothing has been timed yet', 100, 16, 0, 1],
])('of %s the time is estimated in whole seconds', (_, before, together, milliseconds, seconds) => {
  expect(secondsUntilTurn(before, together, milliseconds)).toBe(seconds)
})

test('a batch that took twenty seconds, as of a process that had just started, keeps no one away for minutes', () => {
  expect(secondsUntilTurn(100, 16, 20_000)).toBe(MOST_RETRY_SECONDS)
  expect(MOST_RETRY_SECONDS).toBeLessThanOrEqual(10)
})
