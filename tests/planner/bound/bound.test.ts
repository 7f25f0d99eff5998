import { describe, expect, it } from 'vitest'
import { type Bound, boundOfCost } from '../../../src/planner/index.ts'

const perLine: Bound = { value: 80, kind: 'PER_LINE' }
const dayByDay = (value: number): Bound => ({ value, kind: 'DAY_BY_DAY' })

describe('what bounds say of a plan', () => {
  it('is the highest of them', () => {
    expect(boundOfCost(100, [perLine, dayByDay(90)])).toEqual(dayByDay(90))
    expect(boundOfCost(100, [dayByDay(70), perLine])).toEqual(perLine)
    expect(boundOfCost(100, [])).toBeUndefined()
  })

  it('is that no plan costs less, where one reaches its cost within the tolerance of costs', () => {
    const exact = { value: 100, kind: 'EXACT' }
    expect(boundOfCost(100, [perLine, dayByDay(99.99)])).toEqual(exact)
    expect(boundOfCost(100, [dayByDay(100.01)])).toEqual(exact)
    expect(boundOfCost(100, [dayByDay(99.98)])).toEqual(dayByDay(99.98))
  })

  it('leaves out one that is above its cost, and one that is no number', () => {
    expect(boundOfCost(100, [perLine, dayByDay(101), dayByDay(Number.NaN)])).toEqual(perLine)
  })
})
