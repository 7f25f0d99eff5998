// A search by the clock leaves time for what comes after it.
import { expect, test } from 'vitest'
import { shareOfTime } from '../../src/solver/search-here.ts'

/** A clock in milliseconds that is set by hand. */
function clock(at: number): { now: () => number; set: (ms: number) => void } {
  let time = at
  return {
    now: () => time,
    set: (ms) => {
      time = ms
    },
  }
}

test('the seconds are counted from when they were allowed, and the end is given three times what the beginning took', () => {
  const { now, set } = clock(1000)
  // Five seconds from 0; a second has passed before the search began, and first plans take 200 ms.
  const share = shareOfTime(5, 0, now)
  set(1200)
  expect(share()).toBeCloseTo(1.2 / 4.4, 9)
  set(4399)
  expect(share()).toBeLessThan(1)
  set(4400)
  expect(share()).toBe(1)
})

test('the end never takes more than half of the seconds, and no seconds are no search', () => {
  const { now, set } = clock(0)
  const share = shareOfTime(2, 0, now)
  set(900)
  expect(share()).toBeCloseTo(0.9, 9)
  expect(shareOfTime(0, 0, now)()).toBe(1)
})
