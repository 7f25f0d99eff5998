// A calendar as text/calendar (RFC 5545, and RFC 7986 for its name and how often to ask again).
import { addDays } from '../planner/documents/index.ts'
import type { CalendarEvent } from '../sheets/plan-calendar.ts'

/** What a calendar is written from. */
export interface Calendar {
  /** What people call it, such as the name of the site. */
  name: string
  /** Where all of it happens. */
  place: string
  /** The revision of the records, which only grows: a program knows by it which of two copies is the newer one. */
  revision: number
  /** When it was made, in RFC 3339. */
  madeAt: string
  events: readonly CalendarEvent[]
}

/** Most octets of a line, without its line break (RFC 5545, 3.1). */
const LONGEST = 75

/** The whole calendar; each line ends with CR and LF. */
export function asICalendar({ name, place, revision, madeAt, events }: Calendar): string {
  const made = madeAt.replaceAll(/[-:]|\.\d+/g, '')
  const lines = [
    'BEGIN:VCALENDAR',
    'VERSION:2.0',
    'PRODID:-//Fillwright//Plan//EN',
    'CALSCALE:GREGORIAN',
    `NAME:${escaped(name)}`,
    `X-WR-CALNAME:${escaped(name)}`,
    'REFRESH-INTERVAL;VALUE=DURATION:PT1H',
    ...events.flatMap((event) => eventLines(event, { place, revision, made })),
    'END:VCALENDAR',
  ]
  return lines.map((line) => `${folded(line)}\r\n`).join('')
}

/** An event of a whole day, which keeps no one from other appointments; it ends before the day after (3.6.1). */
function eventLines(
  { uid, kind, day, title, lines, state }: CalendarEvent,
  { place, revision, made }: { place: string; revision: number; made: string },
): string[] {
  const assumed = state === 'ASSUMED' ? ['Taken as done, and not confirmed yet.'] : []
  const more = [...lines, ...assumed].join('\n')
  return [
    'BEGIN:VEVENT',
    `UID:${escaped(uid)}`,
    `DTSTAMP:${made}`,
    `SEQUENCE:${revision}`,
    `DTSTART;VALUE=DATE:${dateOf(day)}`,
    `DTEND;VALUE=DATE:${dateOf(addDays(day, 1))}`,
    `SUMMARY:${escaped(title)}`,
    ...(more === '' ? [] : [`DESCRIPTION:${escaped(more)}`]),
    `LOCATION:${escaped(place)}`,
    `CATEGORIES:${kind}`,
    `STATUS:${state === undefined ? 'CONFIRMED' : 'TENTATIVE'}`,
    'TRANSP:TRANSPARENT',
    'END:VEVENT',
  ]
}

const dateOf = (day: string) => day.replaceAll('-', '')

/** A text as a value (RFC 5545, 3.3.11); signs that no calendar may hold are left out. */
function escaped(text: string): string {
  return text
    .replaceAll(/[\\;,]/g, '\\$&')
    .replaceAll(/\r\n?|\n/g, '\\n')
    .replaceAll(/[^\P{Cc}\t]/gu, '')
}

/** A line broken where 75 octets are full, between signs; each further line begins with a space, which counts. */
function folded(line: string): string {
  const parts: string[] = []
  let part = ''
  let octets = 0
  for (const sign of line) {
    const size = Buffer.byteLength(sign)
    if (octets + size > LONGEST) {
      parts.push(part)
      part = ' '
      octets = 1
    }
    part += sign
    octets += size
  }
  return [...parts, part].join('\r\n')
}
