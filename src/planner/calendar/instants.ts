// Instants counted from wall-clock times of a zone, and instants some days or hours from another.
import { wallClock } from './days.ts'

const MINUTE = 60_000
const HOUR = 60 * MINUTE
const DAY = 24 * HOUR

/** The instant so many times 24 hours, and so many hours, after another (before, where negative); RFC 3339 in UTC. */
export function instantAfter(instant: string, days: number, hours = 0): string {
  return new Date(Date.parse(instant) + days * DAY + hours * HOUR).toISOString()
}

/**
 * The instant (RFC 3339 with the zone's offset) at which the clocks of a zone show `minute` minutes after midnight of
 * the day with number `day`. A time that the clocks skip is read as the time after the gap; of one that they show
 * twice, the first is meant.
 */
export function instantAt(day: number, minute: number, timeZone: string): string {
  const wanted = day * DAY + minute * MINUTE
  const offset = (at: number) => shown(at, timeZone) - at
  const before = wanted - offset(wanted - DAY)
  const after = wanted - offset(wanted + DAY)
  const showing = [before, after].filter((at) => shown(at, timeZone) === wanted)
  const found = showing.length > 0 ? Math.min(...showing) : before
  return rfc3339(found, shown(found, timeZone))
}

/** What the zone's clocks show at an instant, as if it were UTC, in milliseconds. */
function shown(milliseconds: number, timeZone: string): number {
  const { day, minute } = wallClock(new Date(milliseconds).toISOString(), timeZone)
  return Math.round((day * 1440 + minute) * MINUTE)
}

function rfc3339(milliseconds: number, local: number): string {
  const offset = Math.round((local - milliseconds) / MINUTE)
  const size = Math.abs(offset)
  const two = (value: number) => String(value).padStart(2, '0')
  const zone = `${offset < 0 ? '-' : '+'}${two(Math.floor(size / 60))}:${two(size % 60)}`
  return `${new Date(local).toISOString().slice(0, 19)}${zone}`
}
