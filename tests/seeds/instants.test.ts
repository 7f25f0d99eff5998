// When batches of the seeds become ready, held against Luxon, an independent date library, across clock changes.
import { DateTime } from 'luxon'
import { describe, expect, it } from 'vitest'
import { CLOCK_CHANGES } from '../../seeds/generator/kinds.ts'
import { readyDay, readyInstant } from '../../seeds/instants.ts'
import { sizedProblem } from '../../seeds/sized-problem.ts'
import { addDays, localDateOf } from '../../src/planner/documents/index.ts'

describe('ready times of batches', () => {
  it('lie on nights on which the clocks of the zone do change, as Luxon has them', () => {
    for (const { timeZone, on } of CLOCK_CHANGES) {
      const before = DateTime.fromISO(`${addDays(on, -1)}T12:00`, { zone: timeZone }).offset
      expect(DateTime.fromISO(`${on}T12:00`, { zone: timeZone }).offset).not.toBe(before)
    }
  })

  it('count the stages of a batch in wall-clock hours: a clock change moves no ready day (T1)', () => {
    const problem = sizedProblem({ lines: 10, vessels: 2, days: 30, seed: 1 })
    const site = { ...problem.sites[0]!, timeZone: 'Europe/London', brewEnds: '07:00', fillStarts: '07:00' }
    const beer = { ...problem.beers[0]!, fermentHours: 96, restHours: 24, dryHopHours: 0, crashHours: 48 }
    expect(readyInstant(site, beer, '2027-03-24')).toBe('2027-03-31T07:00:00+01:00')
    expect(localDateOf(readyDay(site, readyInstant(site, beer, '2027-03-24')))).toBe('2027-03-31')
    expect(localDateOf(readyDay(site, '2027-03-31T07:01:00+01:00'))).toBe('2027-04-01')
  })
})
