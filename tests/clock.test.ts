import { expect, test } from 'vitest'
import { SetClock, systemClock, todayIn } from '../src/clock.ts'

test('today is the date on the wall of the zone', () => {
  const clock = new SetClock('2027-03-01T23:30:00Z')
  expect(todayIn(clock, 'Europe/London')).toBe('2027-03-01')
  expect(todayIn(clock, 'Europe/Berlin')).toBe('2027-03-02')
  expect(todayIn(clock, 'America/Los_Angeles')).toBe('2027-03-01')
})

test('the night on which clocks change belongs to one day before and one after midnight', () => {
  // Summer time begins in London at 01:00 UTC on 28 March 2027 and ends at 01:00 UTC on 31 October 2027.
  expect(todayIn(new SetClock('2027-03-28T22:59:59Z'), 'Europe/London')).toBe('2027-03-28')
  expect(todayIn(new SetClock('2027-03-28T23:00:00Z'), 'Europe/London')).toBe('2027-03-29')
  expect(todayIn(new SetClock('2027-10-31T23:59:59Z'), 'Europe/London')).toBe('2027-10-31')
})

test('a set clock stands still, and what it gave cannot move it', () => {
  const clock = new SetClock('2027-03-01T09:00:00Z')
  clock.now().setFullYear(1999)
  expect(clock.now()).toEqual(new Date('2027-03-01T09:00:00Z'))
  clock.set('2027-03-02T09:00:00Z')
  expect(clock.now()).toEqual(new Date('2027-03-02T09:00:00Z'))
})

test("the system's clock goes", () => {
  const before = Date.now()
  expect(systemClock.now().getTime()).toBeGreaterThanOrEqual(before)
})
