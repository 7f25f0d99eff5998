// Calendars as an independent reader has them: ical.js of Mozilla.
import * as fc from 'fast-check'
import ICAL from 'ical.js'
import { describe, expect, it } from 'vitest'
import { asICalendar } from '../../src/print/icalendar.ts'
import { type CalendarEvent, calendarEvents, type PlannedEvent } from '../../src/sheets/plan-calendar.ts'

const calendar = (events: CalendarEvent[], name = 'Dimmerthwaite Yard') =>
  asICalendar({ name, place: name, revision: 12, madeAt: '2027-03-04T06:00:00.123Z', events })

function read(text: string) {
  const root = new ICAL.Component(ICAL.parse(text))
  return { events: root.getAllSubcomponents('vevent').map((each) => new ICAL.Event(each)) }
}

const EVENT: CalendarEvent = {
  ...{ uid: 'fill-r1@demo.fillwright', kind: 'FILL', day: '2027-03-31', title: 'Fill 12 × firkin', lines: [] },
}

/** Names that need folding and escaping: of several octets a sign, with commas, semicolons, backslashes and line breaks. */
const names = fc.array(fc.constantFrom('Größe', 'Æ', ',', ';', '\\', '\n', ' ', 'ale', '🍺', ':', '"', 'n'), {
  ...{ minLength: 1, maxLength: 60 },
})

describe('a calendar', () => {
  it('is read back word for word, whatever things are called', () => {
    fc.assert(
      fc.property(names, names, (title, line) => {
        const event = { ...EVENT, title: title.join(''), lines: [line.join('')] }
        const { events } = read(calendar([event], title.join('')))
        expect(events[0]?.location).toBe(title.join(''))
        expect(events[0]?.summary).toBe(event.title)
        expect(events[0]?.description).toBe(event.lines[0])
      }),
      { numRuns: 40 },
    )
  })

  it('has lines of at most 75 octets that end with CR and LF, and breaks no sign in two', () => {
    fc.assert(
      fc.property(names, (title) => {
        const text = calendar([{ ...EVENT, title: title.join('') }])
        const lines = text.split('\r\n')
        expect(lines.pop()).toBe('')
        expect(Math.max(...lines.map((line) => Buffer.byteLength(line)))).toBeLessThanOrEqual(75)
        expect(lines.join('')).not.toMatch(/[\r\n\ufffd]/)
      }),
      { numRuns: 40 },
    )
  })

  it('has events of whole days, over the end of a month and of summer time, that say when they were made and in which revision', () => {
    const [event] = read(
      calendar([
        { ...EVENT, day: '2027-03-28' },
        { ...EVENT, uid: 'x' },
      ]),
    ).events
    expect(event?.startDate.isDate).toBe(true)
    expect([event?.startDate.toString(), event?.endDate.toString()]).toEqual(['2027-03-28', '2027-03-29'])
    expect(event?.duration.toSeconds()).toBe(86_400)
    expect(event?.sequence).toBe(12)
    expect(event?.component.getFirstPropertyValue('dtstamp')?.toString()).toBe('2027-03-04T06:00:00Z')
    const last = read(calendar([EVENT])).events[0]
    expect(last?.endDate.toString()).toBe('2027-04-01')
  })

  it('has no signs that a calendar may not hold', () => {
    expect(read(calendar([{ ...EVENT, title: 'Fill\u0000\u0007 pale\u007f' }])).events[0]?.summary).toBe('Fill pale')
  })

  it('that is empty is a calendar too', () => {
    expect(read(calendar([])).events).toEqual([])
  })
})

describe('events of the plan', () => {
  const nameOf = (_kind: string, id: string) => `the ${id}`
  const FILL: PlannedEvent = { kind: 'FILL', day: '2027-03-04', key: 'fill-r1', packId: 'firkin', quantity: 12 }

  it('keep their identity when they move to another day and when they are said', () => {
    const uid = (event: PlannedEvent) => calendarEvents([event], 'demo', nameOf)[0]?.uid
    expect(new Set([uid(FILL), uid({ ...FILL, day: '2027-03-09' }), uid({ ...FILL, isSaid: true })]).size).toBe(1)
    expect(uid(FILL)).toBe('fill-r1@demo.fillwright')
  })

  it('of two parts of one run have two identities', () => {
    const uids = calendarEvents([FILL, { ...FILL, quantity: 3, isSaid: true }], 'demo', nameOf).map(({ uid }) => uid)
    expect(new Set(uids).size).toBe(2)
  })

  it('are tentative until a person has said them', () => {
    const events = calendarEvents(
      [FILL, { ...FILL, key: 'a', isSaid: false }, { ...FILL, key: 'b', isSaid: true }],
      'd',
      nameOf,
    )
    const states = read(calendar(events)).events.map(({ component }) => component.getFirstPropertyValue('status'))
    expect(states.sort()).toEqual(['CONFIRMED', 'TENTATIVE', 'TENTATIVE'])
  })
})
