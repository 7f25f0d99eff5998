import { expect, test } from 'vitest'
import { spread } from './sampled.ts'

test('a sample has as many as were asked for, in their order, the first and the last among them', () => {
  const all = Array.from({ length: 50 }, (_, index) => index)
  for (let count = 2; count < 50; count += 1) {
    const some = spread(all, count)
    expect(some).toHaveLength(count)
    expect(some.toSorted((a, b) => a - b)).toEqual(some)
    expect([some[0], some.at(-1)]).toEqual([0, 49])
  }
  expect(spread(all, 1)).toEqual([0])
})

test('of a list that is no longer than the sample all are taken', () => {
  expect(spread(['a', 'b'], 2)).toEqual(['a', 'b'])
  expect(spread([], 3)).toEqual([])
})
