// What a label says, and what it leaves out.
import { expect, test } from 'vitest'
import { labelLines } from '../../../src/resolvers/sheets/label-lines.ts'

const pack = {
  beer: { name: 'Foolscap Pale', allergens: ['barley', 'oats'] },
  containerType: { name: 'Pin', nominalLitres: 20.457405 },
}
const lot = { lotCode: '7304FOO1K', bestBefore: '2027-04-15' }

test('a label says beer, strength to one decimal, contents, allergens, best before and lot', () => {
  expect(labelLines(pack, { ...lot, strength: { abv: 4.26, isExpected: false } })).toEqual([
    ...['Foolscap Pale', '4.3 % vol', 'Pin, 20.46 L', 'Contains: barley, oats'],
    ...['Best before 2027-04-15', 'Lot 7304FOO1K'],
  ])
})

test('a strength that was not said is marked as expected, and one that is not known has no line', () => {
  const second = (strength: { abv: number; isExpected: boolean } | undefined) =>
    labelLines(pack, { ...lot, strength })[1]
  expect(second({ abv: 3.9, isExpected: true })).toBe('3.9 % vol (expected)')
  expect(second(undefined)).toBe('Pin, 20.46 L')
})
