// T1 across changes of clocks, and the calendar arithmetic below it, against an independent date library (luxon).
import fc from 'fast-check'
import { DateTime } from 'luxon'
import { describe, expect, it } from 'vitest'
import type { Plan, Problem } from '../../../src/planner/documents/index.ts'
import { addDays, dayNumber, isoWeekday, localDateOf, wallClock } from '../../../src/planner/documents/index.ts'
import { deriveFacts } from '../../../src/planner/facts/facts.ts'
import { basePlan } from '../base/base-plan.ts'
import { baseProblem } from '../base/base-problem.ts'

// Zones with changes of an hour and of half an hour, north and south of the equator, with odd offsets and with none.
const ZONES = [
  'Europe/London',
  'America/New_York',
  'America/St_Johns',
  'America/Santiago',
  'Australia/Lord_Howe',
  'Asia/Kathmandu',
  'Africa/Casablanca',
  'Pacific/Auckland',
  'UTC',
]

const anyZone = fc.constantFrom(...ZONES)
const anyTime = fc.record({ hour: fc.integer({ min: 0, max: 23 }), minute: fc.integer({ min: 0, max: 59 }) })
const anyDay = fc
  .integer({ min: 0, max: 800 })
  .map((days) => DateTime.fromISO('2026-01-01', { zone: 'utc' }).plus({ days }))
const hhmm = ({ hour, minute }: { hour: number; minute: number }) =>
  `${String(hour).padStart(2, '0')}:${String(minute).padStart(2, '0')}`

/** The ready days of batch B1 (standing) and brew P1 (planned) in the base problem, changed. */
function readyDays(change: (problem: Problem, plan: Plan) => void): { B1: string; P1: string } {
  const problem = baseProblem()
  const plan = basePlan()
  change(problem, plan)
  const facts = deriveFacts(problem, plan)
  const of = (id: string) => facts.dateOf(facts.batches.get(id)!.readyDay)
  return { B1: of('B1'), P1: of('P1') }
}

describe('days', () => {
  it('count, add and name weekdays as luxon does', () => {
    fc.assert(
      fc.property(anyDay, fc.integer({ min: -5000, max: 5000 }), (day, days) => {
        const date = day.toISODate()
        expect(dayNumber(date!)).toBe(day.toMillis() / 86_400_000)
        expect(localDateOf(dayNumber(date!))).toBe(date)
        expect(addDays(date!, days)).toBe(day.plus({ days }).toISODate())
        expect(isoWeekday(dayNumber(date!))).toBe(day.weekday)
      }),
    )
  })

  it('read the wall clock of an instant in a zone as luxon does', () => {
    fc.assert(
      fc.property(anyZone, fc.integer({ min: 0, max: 800 * 86_400 }), (zone, seconds) => {
        const local = DateTime.fromISO('2026-01-01T00:00:00Z', { zone }).plus({ seconds })
        const { day, minute } = wallClock(local.toISO()!, zone)
        expect(localDateOf(day)).toBe(local.toISODate())
        expect(minute).toBeCloseTo(local.hour * 60 + local.minute + local.second / 60, 9)
      }),
      { numRuns: 500 },
    )
  })
})

describe('the ready day (T1)', () => {
  it('of a standing batch is the first day whose fill start, on the site’s clock, is not before it is ready', () => {
    fc.assert(
      fc.property(anyZone, fc.integer({ min: 0, max: 800 * 1440 }), anyTime, (zone, minutes, fillStarts) => {
        const ready = DateTime.fromISO('2026-01-01T00:00:00Z', { zone }).plus({ minutes })
        const isSameDay = ready.hour * 60 + ready.minute <= fillStarts.hour * 60 + fillStarts.minute
        const found = readyDays((problem) => {
          Object.assign(problem.sites[0]!, { timeZone: zone, fillStarts: hhmm(fillStarts) })
          problem.batches[0]!.readyAt = ready.toUTC().toISO()!
        })
        expect(found.B1).toBe(ready.plus({ days: isSameDay ? 0 : 1 }).toISODate())
      }),
      { numRuns: 200 },
    )
  })

  it('of a brew counts wall-clock hours: the date library’s local time, which knows no zone', () => {
    fc.assert(
      fc.property(
        anyZone,
        anyDay,
        anyTime,
        anyTime,
        fc.array(fc.integer({ min: 0, max: 4000 }), { minLength: 4, maxLength: 4 }),
        (zone, day, brewEnds, fillStarts, quarters) => {
          // stages in quarters of an hour
          const [ferment, rest, dryHop, crash] = quarters.map((quarter) => quarter / 4)
          const crashEnds = day.set(brewEnds).plus({ minutes: quarters.reduce((a, b) => a + b) * 15 })
          const isSameDay = crashEnds.hour * 60 + crashEnds.minute <= fillStarts.hour * 60 + fillStarts.minute
          const found = readyDays((problem, plan) => {
            Object.assign(problem.sites[0]!, { timeZone: zone, brewEnds: hhmm(brewEnds), fillStarts: hhmm(fillStarts) })
            Object.assign(problem.beers[0]!, {
              fermentHours: ferment,
              restHours: rest,
              dryHopHours: dryHop,
              crashHours: crash,
            })
            plan.brews[0]!.brewOn = day.toISODate()!
          })
          expect(found.P1).toBe(
            crashEnds
              .plus({ days: isSameDay ? 0 : 1 })
              .startOf('day')
              .toISODate(),
          )
        },
      ),
      { numRuns: 200 },
    )
  })

  it('is not moved by a change of clocks during fermentation', () => {
    // London, 28 March 2027: 01:00 becomes 02:00. From 18:00 on 21 March 158 wall-clock hours end at 08:00 on the 28th;
    // on a clock that does not jump it would be 09:00, after the start of filling.
    const found = readyDays((problem, plan) => {
      plan.brews[0]!.brewOn = '2027-03-21'
      problem.beers[0]!.restHours = 14
    })
    expect(found.P1).toBe('2027-03-28')
  })

  it('of a standing batch follows the clock that the site has on that day', () => {
    // 07:30 UTC is 07:30 in London on 27 March 2027, before the start of filling, and 08:30 on the 28th.
    const at = (readyAt: string) => readyDays((problem) => Object.assign(problem.batches[0]!, { readyAt })).B1
    expect(at('2027-03-27T07:30:00Z')).toBe('2027-03-27')
    expect(at('2027-03-28T07:30:00Z')).toBe('2027-03-29')
  })

  it('is not put off by rounding in fractional hours', () => {
    // 0.1 + 0.2 + 61.7 + 100 hours are 162.00000000000003 in floating point; 14:00 + 162 h = 08:00.
    const found = readyDays((problem, plan) => {
      plan.brews[0]!.brewOn = '2027-03-01'
      problem.sites[0]!.brewEnds = '14:00'
      Object.assign(problem.beers[0]!, { fermentHours: 0.1, restHours: 0.2, dryHopHours: 61.7, crashHours: 100 })
    })
    expect(found.P1).toBe('2027-03-08')
  })
})
