// V5: vessels are emptied by their deadlines.
import { emptyBy } from '../../facts/deadlines.ts'
import type { Facts } from '../../facts/facts.ts'
import { lastDay } from '../../facts/vessel-stays.ts'
import { type Violation, violationOn } from '../../facts/violation.ts'

/** V5: a vessel is empty by its deadline, if that lies in the horizon; a quarantined batch is exempt. */
export function emptyInTime(facts: Facts): Violation[] {
  const found: Violation[] = []
  for (const batch of facts.batches.values()) {
    if (batch.quarantined) continue
    for (const stay of batch.stays) {
      const deadline = emptyBy(batch, stay)
      if (deadline >= facts.horizon || lastDay(stay) <= deadline) continue
      const emptied = stay.emptiedOn === undefined ? 'not at all' : `on ${facts.dateOf(stay.emptiedOn)}`
      const message = `batch "${batch.id}" must leave "${stay.vessel.id}" by ${facts.dateOf(deadline)}, and does so ${emptied}`
      found.push(violationOn(deadline, facts, 'V5', message, batch.id, stay.vessel.id))
    }
  }
  return found
}
