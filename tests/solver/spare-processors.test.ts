// How many searches a plan gets.
import { expect, test } from 'vitest'
import { searchesFor, spareProcessors, whileSearching } from '../../src/solver/spare-processors.ts'

test('one processor is left for answers, and one search there always is', () => {
  expect(spareProcessors()).toBeGreaterThanOrEqual(1)
  expect(searchesFor({ seconds: 5 }, 3)).toBe(3)
  expect(searchesFor({ seconds: 5 }, 0)).toBe(1)
  expect(searchesFor({ seconds: 5 }, 64)).toBe(8)
})

test('a plan of steps has one search, so that it is the same on every machine', () => {
  expect(searchesFor({ steps: 100 }, 7)).toBe(1)
  expect(searchesFor({}, 7)).toBe(1)
})

test('what other plans have is not there for this one, until they are done', async () => {
  const seen = await whileSearching(2, async () => [searchesFor({ seconds: 5 }, 3), searchesFor({ seconds: 5 }, 2)])
  expect(seen).toEqual([1, 1])
  await expect(whileSearching(2, () => Promise.reject(new Error('ended')))).rejects.toThrow('ended')
  expect(searchesFor({ seconds: 5 }, 3)).toBe(3)
})
