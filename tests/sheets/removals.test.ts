// The removals report's lines and sums against 27 CFR 25.156, and what stands apart in it.
import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { REMOVAL_KINDS, type Removed, removalsOf } from '../../src/sheets/removals.ts'

const strength = { abv: 4.2, isExpected: false }
const removed = (change: Partial<Removed>): Removed => ({
  ...{
    kind: 'DISPATCHED',
    isAssumed: false,
    beerId: 'pale',
    containerTypeId: 'keg-30',
    litresEach: 30,
    strength,
    quantity: 1,
  },
  ...change,
})

test('what was assumed, what came back, what left without an order and what was emptied away stand on lines and sums of their own', () => {
  const { lines, totals } = removalsOf([
    removed({ quantity: 5 }),
    removed({ quantity: 2 }),
    removed({ quantity: 3, isAssumed: true }),
    removed({ quantity: 1, kind: 'RETURNED' }),
    removed({ quantity: 1, kind: 'ISSUED' }),
    removed({ quantity: 1, kind: 'DESTROYED' }),
  ])
  // 27 CFR 25.156: 30 L are 0.25565 barrels, to five decimals; the sum is rounded to two.
  expect(lines.map(({ kind, isAssumed, quantity, barrels }) => [kind, isAssumed, quantity, barrels])).toEqual([
    ['DISPATCHED', false, 7, 1.78955],
    ['DISPATCHED', true, 3, 0.76695],
    ['RETURNED', false, 1, 0.25565],
    ['ISSUED', false, 1, 0.25565],
    ['DESTROYED', false, 1, 0.25565],
  ])
  expect(totals.map(({ barrels }) => barrels)).toEqual([1.79, 0.77, 0.26, 0.26, 0.26])
})

test('lines differ in beer, container or strength, and one that a correction took back whole is gone', () => {
  const list = [
    removed({}),
    removed({ strength: { abv: 4.3, isExpected: false } }),
    removed({ containerTypeId: 'keg-50', litresEach: 50 }),
    removed({ beerId: 'stout', quantity: 4 }),
    removed({ beerId: 'stout', quantity: -4 }),
  ]
  expect(removalsOf(list).lines).toHaveLength(3)
})

test('no container is lost or counted twice, in whatever order they left', () => {
  const one = fc.record({
    kind: fc.constantFrom(...REMOVAL_KINDS),
    isAssumed: fc.boolean(),
    beerId: fc.constantFrom('pale', 'stout'),
    quantity: fc.integer({ min: 1, max: 40 }),
  })
  fc.assert(
    fc.property(fc.array(one, { maxLength: 12 }), (changes) => {
      const list = changes.map(removed)
      const report = removalsOf(list)
      expect(removalsOf([...list].reverse())).toEqual(report)
      const count = (all: readonly Removed[]) => all.reduce((sum, { quantity }) => sum + quantity, 0)
      expect(count(report.lines)).toBe(count(list))
      expect(report.totals.reduce((sum, { litres }) => sum + litres, 0)).toBeCloseTo(30 * count(list), 6)
    }),
    { numRuns: 50 },
  )
})
