// The bank holidays of the demo, against published dates.
import { DateTime } from 'luxon'
import { describe, expect, it } from 'vitest'
import { bankHolidays, easterSunday } from '../../seeds/demo/holidays.ts'

describe('Easter Sunday', () => {
  // Published tables of Easter dates (Gregorian). 22 March 1818 and 25 April 1943 are the earliest and the latest.
  it.each([
    [1818, '1818-03-22'],
    [1943, '1943-04-25'],
    [1954, '1954-04-18'],
    [1981, '1981-04-19'],
    [2000, '2000-04-23'],
    [2008, '2008-03-23'],
    [2011, '2011-04-24'],
    [2024, '2024-03-31'],
    [2025, '2025-04-20'],
    [2026, '2026-04-05'],
    [2027, '2027-03-28'],
    [2028, '2028-04-16'],
    [2038, '2038-04-25'],
    [2049, '2049-04-18'],
    [2076, '2076-04-19'],
  ])('of %d is %s', (year, date) => {
    expect(easterSunday(year)).toBe(date)
  })

  it('is a Sunday from 22 March to 25 April in each year of six centuries', () => {
    for (let year = 1700; year < 2300; year++) {
      const easter = easterSunday(year)
      expect(DateTime.fromISO(easter).weekday, easter).toBe(7)
      expect(easter >= `${year}-03-22` && easter <= `${year}-04-25`, easter).toBe(true)
    }
  })
})

describe('the bank holidays', () => {
  // The government's published list for England and Wales. In the years chosen there was no one-off holiday.
  it.each([
    [2021, '01-01 04-02 04-05 05-03 05-31 08-30 12-27 12-28'],
    [2024, '01-01 03-29 04-01 05-06 05-27 08-26 12-25 12-26'],
    [2025, '01-01 04-18 04-21 05-05 05-26 08-25 12-25 12-26'],
    [2026, '01-01 04-03 04-06 05-04 05-25 08-31 12-25 12-28'],
    [2027, '01-01 03-26 03-29 05-03 05-31 08-30 12-27 12-28'],
  ])('of %d are those of the published list', (year, days) => {
    expect(bankHolidays(year)).toEqual(days.split(' ').map((day) => `${year}-${day}`))
  })

  // Substitutes: Schedule 1 of the Banking and Financial Dealings Act 1971 and the yearly proclamations.
  it.each([
    [2022, '01-03', '12-26', '12-27'],
    [2023, '01-02', '12-25', '12-26'],
    [2028, '01-03', '12-25', '12-26'],
    [2033, '01-03', '12-26', '12-27'],
  ])('of %d that fall on a weekend have their substitutes', (year, newYear, ...christmas) => {
    const days = bankHolidays(year)
    expect([days[0], ...days.slice(-2)]).toEqual([newYear, ...christmas].map((day) => `${year}-${day}`))
  })

  it('are eight different workdays in order in each year', () => {
    for (let year = 1980; year < 2100; year++) {
      const days = bankHolidays(year)
      expect(new Set(days).size).toBe(8)
      expect([...days].sort()).toEqual(days)
      for (const day of days) expect(DateTime.fromISO(day).weekday, day).toBeLessThanOrEqual(5)
    }
  })
})
