// Wall-clock times as instants, held against Luxon, an independent date library, across clock changes.
import { DateTime } from 'luxon'
import { describe, expect, it, test } from 'vitest'
import { CLOCK_CHANGES } from '../../../seeds/generator/kinds.ts'
import { dayNumber, localDateOf } from '../../../src/planner/calendar/days.ts'
import { instantAfter, instantAt } from '../../../src/planner/calendar/instants.ts'

describe('instants of wall-clock times', () => {
  it('show the wanted time in the zone, as Luxon reads them, on the days around every clock change', () => {
    for (const { timeZone, on } of CLOCK_CHANGES) {
      for (let offset = -2; offset <= 2; offset++) {
        for (const minute of [0, 359, 420, 900, 1439]) {
          const day = dayNumber(on) + offset
          const shown = DateTime.fromISO(instantAt(day, minute, timeZone), { zone: timeZone })
          expect(shown.toISODate()).toBe(localDateOf(day))
          expect(shown.hour * 60 + shown.minute).toBe(minute)
        }
      }
    }
  })

  it('read a time that the clocks skip as the time after the gap, and of a time shown twice the first', () => {
    expect(instantAt(dayNumber('2027-03-28'), 90, 'Europe/London')).toBe('2027-03-28T02:30:00+01:00')
    expect(instantAt(dayNumber('2026-10-25'), 90, 'Europe/London')).toBe('2026-10-25T01:30:00+01:00')
  })
})

test('an instant some days and hours from another is so many hours away, also where the clocks change in between', () => {
  for (const { timeZone, on } of CLOCK_CHANGES)
    for (const [days, hours] of [
      [2, 0],
      [-3, 1],
      [0, -2],
    ] as const) {
      const start = DateTime.fromISO(`${on}T01:15`, { zone: timeZone })
      const after = DateTime.fromISO(instantAfter(start.toISO()!, days, hours), { zone: timeZone })
      expect(after.diff(start, 'hours').hours).toBe(days * 24 + hours)
    }
})
