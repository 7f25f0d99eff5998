// A search by the clock leaves time for what comes after it.
import { expect, test } from 'vitest'
import { sizedProblem } from '../../seeds/sized-problem.ts'
import { makePlan } from '../../src/planner/index.ts'
import { sharesOfTime } from '../../src/solver/search-here.ts'

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
  const { elapsed } = sharesOfTime(5, 0, now)
  set(1200)
  expect(elapsed()).toBeCloseTo(1.2 / 4.4, 9)
  set(4399)
  expect(elapsed()).toBeLessThan(1)
  set(4400)
  expect(elapsed()).toBe(1)
})

test('the end takes about a third of the seconds at most, and no seconds are no search and all reasons', () => {
  const { now, set } = clock(0)
  const { elapsed } = sharesOfTime(2, 0, now)
  set(900)
  expect(elapsed()).toBeCloseTo(0.9 / 1.3, 9)
  const none = sharesOfTime(0, 0, now)
  expect([none.elapsed(), none.explaining()]).toEqual([1, 0])
})

test('reasons end before the seconds do, so that the plan can still be checked', () => {
  const { now, set } = clock(0)
  const { elapsed, explaining } = sharesOfTime(5, 0, now)
  set(200)
  elapsed()
  set(4400)
  expect(explaining()).toBe(0)
  // 600 ms for the end, 180 of them for the checks.
  set(4610)
  expect(explaining()).toBeCloseTo(0.5, 9)
  set(4820)
  expect(explaining()).toBe(1)
  set(9000)
  expect(explaining()).toBe(1)
  expect(sharesOfTime(5, 0, now).explaining()).toBe(1)
})

test('on a clock that is slow everywhere the answer is there in its seconds and half a second more, however much there is to explain', () => {
  const problem = sizedProblem({ lines: 60, vessels: 6, days: 40, seed: 1, tightness: 1.2 })
  // Each look at the clock is 25 ms later: a search step or the reasons of a line take as long.
  let time = 0
  const now = () => {
    time += 25
    return time
  }
  const { plan } = makePlan(problem, sharesOfTime(2, 0, now))
  expect(time).toBeGreaterThan(1500)
  expect(time).toBeLessThan(2500)
  expect(plan.unserved.flatMap(({ reasons }) => reasons).some(({ code }) => code === 'RELIEFS_NOT_SOUGHT')).toBe(true)
})

test('a search whose time is over before it begins ends at once', () => {
  const { now, set } = clock(0)
  const { elapsed } = sharesOfTime(-0.1, 0, now)
  set(50)
  expect(elapsed()).toBe(1)
})
