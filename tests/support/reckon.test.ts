// What reckons printed formulas: it follows the rules of arithmetic, and refuses what it cannot read.
import { expect, it } from 'vitest'
import { figureOf } from '../../src/sheets/figure.ts'
import { reckon } from './reckon.ts'

const printed = (formula: string) =>
  figureOf({
    unit: '',
    formula,
    constants: [
      { name: 'one volume', value: 4, unit: '', source: 'this test' },
      { name: 'one', value: 1, unit: '', source: 'this test' },
    ],
    inputs: [{ name: 'litres', value: 10, unit: 'L' }],
    compute: () => 0,
  })

it.each([
  ['litres − one − one', 8],
  ['litres − 2 × one volume', 2],
  ['litres / one volume / 5', 0.5],
  ['−(litres + one) × 2', -22],
  ['max(0, one − litres)', 0],
  ['floor(litres / one volume) + min(3, 2)', 4],
  ['round(2.5) × exp(0)', 3],
])('reckons %s', (formula, value) => {
  expect(reckon(printed(formula))).toBe(value)
})

it.each(['litres + gallons', 'litres one', '(litres', 'max'])('refuses %s', (formula) => {
  expect(() => reckon(printed(formula))).toThrow()
})
