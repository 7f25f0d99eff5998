// When a reservation's time has run out: what is asked of a row and what is asked of the database are the same.
import { expect, it } from 'vitest'
import { hasRunOut, runOut, stillHolding } from '../../src/records/reserved.ts'

it.each([
  ['a millisecond before', -1, false],
  ['at the instant itself', 0, true],
  ['a millisecond after', 1, true],
])('%s a reservation holds or has run out, by row and by condition alike', (_, later, over) => {
  const expiresAt = new Date('2027-03-01T09:30:00Z')
  const at = new Date(expiresAt.getTime() + later)
  expect(hasRunOut({ expiresAt }, at)).toBe(over)
  expect(expiresAt <= runOut(at).lte).toBe(over)
  expect(expiresAt > stillHolding(at).gt).toBe(!over)
})
