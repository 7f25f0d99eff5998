// L1 and L3: a filler's minutes and what it can fill; whole containers, one run for each batch, filler, day and pack.

import { MINUTE_TOLERANCE } from '../documents/tolerances.ts'
import type { RunFacts } from '../facts/cellar.ts'
import type { Facts } from '../facts/facts.ts'
import { type Violation, violation, violationOn } from '../facts/violation.ts'

/** L1: a filler fills what it can, at its own site, within its minutes of the day, set-ups included. */
export function fillerMinutes(facts: Facts): Violation[] {
  const found: Violation[] = []
  const used = new Map<string, { day: number; minutes: number; limit: number; fillerId: string }>()
  const add = (filler: RunFacts['filler'], day: number, minutes: number) => {
    const key = JSON.stringify([filler.id, day])
    const limit = own(filler.minutesOn, facts.dateOf(day)) ?? filler.minutesPerDay
    const sum = used.get(key) ?? { day, minutes: 0, limit, fillerId: filler.id }
    sum.minutes += minutes
    used.set(key, sum)
  }
  for (const { run, day, batch, filler, of } of facts.runs) {
    if (filler.siteId !== batch.site.site.id)
      found.push(
        violationOn(day, facts, 'L1', `filler "${filler.id}" is not at the site of batch "${batch.id}"`, run.id),
      )
    const each = own(filler.minutesEach, of.type.id)
    if (each === undefined)
      found.push(violationOn(day, facts, 'L1', `filler "${filler.id}" cannot fill "${of.type.id}"`, run.id))
    else add(filler, day, each * run.quantity)
  }
  for (const { filler, day, minutes } of facts.setUps) add(filler, day, minutes)
  for (const { day, minutes, limit, fillerId } of used.values())
    if (minutes > limit + MINUTE_TOLERANCE) {
      const message = `filler "${fillerId}" works ${Math.round(minutes * 100) / 100} minutes of ${limit}`
      found.push(violationOn(day, facts, 'L1', message, fillerId))
    }
  return found
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
