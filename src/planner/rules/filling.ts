// L1, L3 and L4: a filler's minutes, what it can fill, and washing; whole containers, one run for each batch, filler, day and pack.

import { MINUTE_TOLERANCE } from '../documents/tolerances.ts'
import type { RunFacts } from '../facts/cellar.ts'
import type { Facts } from '../facts/facts.ts'
import { type Violation, violation, violationOn } from '../facts/violation.ts'

/** L1: a filler fills what it can, at its own site, within its minutes of the day, set-ups included. */
export function fillerMinutes(facts: Facts): Violation[] {
  const found: Violation[] = []
  for (const { run, day, batch, filler, of } of facts.runs) {
    if (filler.siteId !== batch.site.site.id)
      found.push(
        violationOn(day, facts, 'L1', `filler "${filler.id}" is not at the site of batch "${batch.id}"`, run.id),
      )
    if (own(filler.minutesEach, of.type.id) === undefined)
      found.push(violationOn(day, facts, 'L1', `filler "${filler.id}" cannot fill "${of.type.id}"`, run.id))
  }
  for (const { day, minutes, limit, filler } of fillerDays(facts))
    if (minutes > limit + MINUTE_TOLERANCE) {
      const message = `filler "${filler.id}" works ${showMinutes(minutes)} minutes of ${limit}`
      found.push(violationOn(day, facts, 'L1', message, filler.id))
    }
  return found
}

/** L4: washing between wash groups fits into what runs and set-ups leave of the day; where they alone are too much, it is L1. */
export function washing(facts: Facts): Violation[] {
  const found: Violation[] = []
  for (const { day, minutes, limit, filler, groups } of fillerDays(facts)) {
    const washed = (groups.size - 1) * (filler.washMinutes ?? 0)
    if (minutes > limit + MINUTE_TOLERANCE || minutes + washed <= limit + MINUTE_TOLERANCE) continue
    const message = `filler "${filler.id}" works ${showMinutes(minutes)} minutes of ${limit}, and is washed for ${showMinutes(washed)}`
    found.push(violationOn(day, facts, 'L4', message, filler.id))
  }
  return found
}

/** A filler's day: its runs and set-ups in minutes, what it has, and the wash groups that it draws. */
interface FillerDay {
  filler: RunFacts['filler']
  day: number
  minutes: number
  limit: number
  groups: Set<string | undefined>
}

function fillerDays(facts: Facts): Iterable<FillerDay> {
  const used = new Map<string, FillerDay>()
  const dayOf = (filler: RunFacts['filler'], day: number) => {
    const key = JSON.stringify([filler.id, day])
    const limit = own(filler.minutesOn, facts.dateOf(day)) ?? filler.minutesPerDay
    const found = used.get(key) ?? { filler, day, minutes: 0, limit, groups: new Set() }
    used.set(key, found)
    return found
  }
  for (const { run, day, filler, of } of facts.runs) {
    const each = own(filler.minutesEach, of.type.id)
    if (each !== undefined) dayOf(filler, day).minutes += each * run.quantity
  }
  for (const { filler, day, minutes, batch } of facts.setUps) {
    const found = dayOf(filler, day)
    found.minutes += minutes
    found.groups.add(batch.beer.washGroup)
  }
  return used.values()
}

function showMinutes(minutes: number): number {
  return Math.round(minutes * 100) / 100
}

/** L3: containers are whole and there are some; at most one run for each batch, filler, day and pack. */
export function wholeRuns(facts: Facts): Violation[] {
  const found: Violation[] = []
  const seen = new Map<string, string>()
  for (const { run, day, batch, filler, of } of facts.runs) {
    if (!Number.isInteger(run.quantity) || run.quantity < 1)
      found.push(violation('L3', `run "${run.id}" fills ${run.quantity} containers`, run.id))
    const key = JSON.stringify([batch.id, filler.id, day, of.pack.id])
    const other = seen.get(key)
    if (other === undefined) seen.set(key, run.id)
    else found.push(violationOn(day, facts, 'L3', `runs "${other}" and "${run.id}" are one`, other, run.id))
  }
  return found
}

/** The value that a map itself has under a key; a container type may be called like an object's built-in property. */
function own(map: Record<string, number> | undefined, key: string): number | undefined {
  return map && Object.hasOwn(map, key) ? map[key] : undefined
}
