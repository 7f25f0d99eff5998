import { expect, test } from 'vitest'
import { expectedDaysOut } from '../../../src/floor/containers/days-out.ts'

test('without a return the set-up is believed', () => {
  expect(expectedDaysOut(7, [])).toBe(7)
  expect(expectedDaysOut(undefined, [])).toBeUndefined()
})

test('ten containers of the prior give way to what the account really does', () => {
  // 80 of 100 of ten at 7 days and one or two at 21 are back after 7; of three at 21 they are not.
  expect([1, 2, 3].map((quantity) => expectedDaysOut(7, [{ days: 21, quantity }]))).toEqual([7, 7, 21])
  expect(expectedDaysOut(7, [{ days: 3, quantity: 39 }])).toBe(7)
  expect(expectedDaysOut(7, [{ days: 3, quantity: 40 }])).toBe(3)
})

test('an account of which the set-up says never is believed once ten have come back', () => {
  expect(expectedDaysOut(undefined, [{ days: 5, quantity: 9 }])).toBeUndefined()
  const observed = [5, 8].map((days) => ({ days, quantity: 5 }))
  expect(expectedDaysOut(undefined, observed)).toBe(8)
})
