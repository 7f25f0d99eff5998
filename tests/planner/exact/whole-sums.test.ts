// What whole things can take up of a limit, against every sum of few of them.
import { describe, expect, it } from 'vitest'
import { randomFrom } from '../../../seeds/random.ts'
import { mostOfWhole } from '../../../src/planner/exact/whole-sums.ts'

/** The largest sum at most `limit` of the sizes, each at most `times`, by trying all. */
function byTrying(limit: number, sizes: readonly number[], times: number): number {
  const [size, ...others] = sizes
  if (size === undefined) return 0
  const sums = Array.from({ length: times + 1 }, (_, count) => count * size).filter((sum) => sum <= limit)
  return Math.max(...sums.map((sum) => sum + byTrying(limit - sum, others, times)))
}

describe('the most that whole things take up of a limit', () => {
  it('is the largest of all their sums', () => {
    const random = randomFrom(1)
    for (let round = 0; round < 300; round++) {
      const sizes = Array.from({ length: random.int(1, 4) }, () => random.int(4, 30))
      const limit = random.int(0, 40)
      expect(mostOfWhole(limit, sizes, 'ONCE')).toBeCloseTo(byTrying(limit, sizes, 1), 4)
      expect(mostOfWhole(limit, sizes, 'OFTEN')).toBeCloseTo(byTrying(limit, sizes, 10), 4)
    }
  })

  it('is a whole number of casks', () => {
    expect(mostOfWhole(400, [81.82962], 'OFTEN')).toBeCloseTo(4 * 81.82962, 4)
    expect(mostOfWhole(170, [40.91481, 30], 'OFTEN')).toBeCloseTo(4 * 40.91481, 4)
  })

  it('is nothing where nothing fits, and the limit itself where there are too many sums to try', () => {
    expect(mostOfWhole(25, [30, 0], 'OFTEN')).toBeCloseTo(0, 4)
    expect(mostOfWhole(1e6, [1.01, 1.0003], 'OFTEN')).toBe(1e6)
    expect(mostOfWhole(Number.POSITIVE_INFINITY, [1], 'OFTEN')).toBe(Number.POSITIVE_INFINITY)
  })
})
