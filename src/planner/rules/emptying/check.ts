// V5: vessels are emptied by their deadlines.
import type { BatchFacts, Stay } from '../../facts/cellar.ts'
import type { Facts } from '../../facts/facts.ts'
import { lastDay } from '../../facts/vessel-stays.ts'
import { type Violation, violationOn } from '../../facts/violation.ts'

/** V5: a vessel is empty by its deadline, if that lies in the horizon; a quarantined batch is exempt. */
export function emptyInTime(facts: Facts): Violation[] {
  const found: Violation[] = []
  for (const batch of facts.batches.values()) {
    if (batch.quarantined) continue
    for (const stay of batch.stays) {
      const deadline = deadlineOf(batch, stay)
      if (deadline >= facts.horizon || lastDay(stay) <= deadline) continue
      const emptied = stay.emptiedOn === undefined ? 'not at all' : `on ${facts.dateOf(stay.emptiedOn)}`
      const message = `batch "${batch.id}" must leave "${stay.vessel.id}" by ${facts.dateOf(deadline)}, and does so ${emptied}`
      found.push(violationOn(deadline, facts, 'V5', message, batch.id, stay.vessel.id))
    }
  }
  return found
}

function deadlineOf({ beer, readyDay, site }: BatchFacts, stay: Stay): number {
  const deadline = stay.in === 'FERMENTER' ? readyDay + beer.maxTankDays : stay.firstFillDay + beer.maxBrightDays
  // What stands today has until the first day on which the site can fill it at all.
  return stay.planned ? deadline : Math.max(deadline, site.firstFillDay ?? Infinity)
}
