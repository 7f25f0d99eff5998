// V10: how long a vessel may be drawn from once it is open.
import type { Facts } from '../../facts/facts.ts'
import { type Violation, violationOn } from '../../facts/violation.ts'

/** V10: the last draw of a batch from a vessel is at most `maxOpenDays` after the first, which may lie before today. */
export function openVessels(facts: Facts): Violation[] {
  const found: Violation[] = []
  for (const batch of facts.batches.values())
    for (const stay of batch.stays) {
      const limit = batch.beer.maxOpenDays
      if (limit === undefined || stay.runs.length === 0) continue
      const opened = stay.planned ? undefined : batch.standing?.openedOn
      const days = stay.runs.map(({ day }) => day)
      const first = days.reduce((a, b) => Math.min(a, b), opened === undefined ? Infinity : facts.dayOf(opened))
      const last = days.reduce((a, b) => Math.max(a, b), -Infinity)
      if (last - first <= limit) continue
      const message = `"${stay.vessel.id}" is drawn from ${last - first} days after it was opened, and may be for ${limit}`
      found.push(violationOn(last, facts, 'V10', message, batch.id, stay.vessel.id))
    }
  return found
}
