// A filler's days: the minutes of runs and set-ups (L1), and the wash groups between which it is washed (L4).
import { mostMinutes } from '../documents/day-limits.ts'
import { minutesEach } from '../documents/filling-minutes.ts'
import type { RunFacts } from './cellar.ts'
import type { Facts } from './facts.ts'

/** A filler's day: its runs and set-ups in minutes, what it has, and the wash groups that it draws. */
export interface FillerDay {
  filler: RunFacts['filler']
  day: number
  minutes: number
  limit: number
  groups: Set<string | undefined>
}

/** The days on which fillers of a plan work. */
export function fillerDays(facts: Facts): Iterable<FillerDay> {
  const used: FillerDay[] = []
  const byDay = new Map<string, Map<number, FillerDay>>()
  const dayOf = (filler: RunFacts['filler'], day: number) => {
    const days = byDay.get(filler.id) ?? new Map<number, FillerDay>()
    const known = days.get(day)
    if (known) return known
    const limit = mostMinutes(filler, facts.dateOf(day))
    const found: FillerDay = { filler, day, minutes: 0, limit, groups: new Set() }
    byDay.set(filler.id, days.set(day, found))
    used.push(found)
    return found
  }
  for (const { run, day, filler, of } of facts.runs) {
    const each = minutesEach(filler, of.type.id)
    if (each !== undefined) dayOf(filler, day).minutes += each * run.quantity
  }
  for (const { filler, day, minutes, batch } of facts.setUps) {
    const found = dayOf(filler, day)
    found.minutes += minutes
    found.groups.add(batch.beer.washGroup)
  }
  return used
}

/** Minutes for a message: two decimals at most. */
export function showMinutes(minutes: number): number {
  return Math.round(minutes * 100) / 100
}
