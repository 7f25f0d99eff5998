// L1 and L3: a filler's minutes and what it can fill; whole containers, one run for each batch, filler, day and pack.
import { minutesEach } from '../../documents/filling-minutes.ts'
import { MINUTE_TOLERANCE } from '../../documents/tolerances.ts'
import type { Facts } from '../../facts/facts.ts'
import { fillerDays, showMinutes } from '../../facts/filler-days.ts'
import { type Violation, violation, violationOn } from '../../facts/violation.ts'

/** L1: a filler fills what it can, at its own site, within its minutes of the day, set-ups included. */
export function fillerMinutes(facts: Facts): Violation[] {
  const found: Violation[] = []
  for (const { run, day, batch, filler, of } of facts.runs) {
    if (filler.siteId !== batch.site.site.id)
      found.push(
        violationOn(day, facts, 'L1', `filler "${filler.id}" is not at the site of batch "${batch.id}"`, run.id),
      )
    if (minutesEach(filler, of.type.id) === undefined)
      found.push(violationOn(day, facts, 'L1', `filler "${filler.id}" cannot fill "${of.type.id}"`, run.id))
  }
  for (const { day, minutes, limit, filler } of fillerDays(facts))
    if (minutes > limit + MINUTE_TOLERANCE) {
      const message = `filler "${filler.id}" works ${showMinutes(minutes)} minutes of ${limit}`
      found.push(violationOn(day, facts, 'L1', message, filler.id))
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
