// Order cut-offs by the wall clock of a zone: the first day that an order catches, what it misses, a cut-off made later.
import { describe, expect, it } from 'vitest'
import { firstDispatchDay, laterCutOff, minutesMissed } from '../../../src/planner/calendar/cut-off.ts'
import { dayNumber, localDateOf } from '../../../src/planner/calendar/days.ts'

const THREE_THE_DAY_BEFORE = { daysBefore: 1, at: '15:00' }

describe('the first dispatch day that an order catches', () => {
  it.each([
    ['on the minute', '2027-06-09T14:00:00Z', 'Europe/London', '2027-06-10'],
    ['a second later', '2027-06-09T14:00:01Z', 'Europe/London', '2027-06-11'],
    ['after midnight in the zone, before it in UTC', '2027-06-09T23:30:00Z', 'Europe/London', '2027-06-11'],
    ['on the minute before the clocks change', '2027-03-27T15:00:00Z', 'Europe/London', '2027-03-28'],
    ['on the minute after the clocks changed', '2027-03-28T14:00:00Z', 'Europe/London', '2027-03-29'],
    ['an hour later than that', '2027-03-28T15:00:00Z', 'Europe/London', '2027-03-30'],
    ['in a zone a quarter of an hour off', '2027-06-09T09:15:00Z', 'Asia/Kathmandu', '2027-06-10'],
    ['with an offset of its own', '2027-06-09T10:00:00-04:00', 'Europe/London', '2027-06-10'],
  ])('%s', (_, placedAt, timeZone, first) => {
    expect(localDateOf(firstDispatchDay(placedAt, timeZone, THREE_THE_DAY_BEFORE))).toBe(first)
  })

  it('is the day itself where the cut-off is on the day', () => {
    const cutOff = { daysBefore: 0, at: '06:00' }
    expect(localDateOf(firstDispatchDay('2027-06-09T05:00:00Z', 'Europe/London', cutOff))).toBe('2027-06-09')
    expect(localDateOf(firstDispatchDay('2027-06-09T05:01:00Z', 'Europe/London', cutOff))).toBe('2027-06-10')
  })
})

describe('the minutes by which an order misses a day', () => {
  const missed = (placedAt: string, dispatch: string) =>
    minutesMissed(placedAt, 'Europe/London', THREE_THE_DAY_BEFORE, dayNumber(dispatch))

  it('are counted up to the next whole one, and none where it is in time', () => {
    expect(missed('2027-06-09T14:00:00Z', '2027-06-10')).toBe(0)
    expect(missed('2027-06-09T14:00:01Z', '2027-06-10')).toBe(1)
    expect(missed('2027-06-09T21:45:00Z', '2027-06-10')).toBe(7 * 60 + 45)
    expect(missed('2027-06-09T14:10:00Z', '2027-06-09')).toBe(24 * 60 + 10)
  })

  it('made up for, let it leave on that day, and one fewer does not', () => {
    for (const placedAt of ['2027-06-09T14:00:01Z', '2027-06-09T22:59:00Z', '2027-06-10T12:00:00Z'])
      for (const dispatch of ['2027-06-10', '2027-06-11']) {
        const minutes = missed(placedAt, dispatch)
        const first = (cutOff = laterCutOff(THREE_THE_DAY_BEFORE, minutes)) =>
          cutOff ? firstDispatchDay(placedAt, 'Europe/London', cutOff) : 0
        expect(first()).toBeLessThanOrEqual(dayNumber(dispatch))
        if (minutes > 0)
          expect(first(laterCutOff(THREE_THE_DAY_BEFORE, minutes - 1))).toBeGreaterThan(dayNumber(dispatch))
      }
  })
})

describe('a cut-off so many minutes later', () => {
  it.each([
    [0, { daysBefore: 1, at: '15:00' }],
    [539, { daysBefore: 1, at: '23:59' }],
    [540, { daysBefore: 0, at: '00:00' }],
    [540 + 65, { daysBefore: 0, at: '01:05' }],
    [540 + 1439, { daysBefore: 0, at: '23:59' }],
    [540 + 1440, undefined],
  ])('%i', (minutes, cutOff) => {
    expect(laterCutOff(THREE_THE_DAY_BEFORE, minutes)).toEqual(cutOff)
  })
})
