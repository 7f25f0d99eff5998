// V3: one batch at a time in a vessel, cleaned before the next, and in service.
import type { Stay } from '../../facts/cellar.ts'
import type { Facts } from '../../facts/facts.ts'
import { freeFrom, lastDay, staysByVessel } from '../../facts/vessel-stays.ts'
import { type Violation, violationOn } from '../../facts/violation.ts'

/** V3: no two batches in a vessel, `turnaroundDays` + 1 days between them; nothing planned while it is out of service. */
export function vesselOccupancy(facts: Facts): Violation[] {
  const found: Violation[] = []
  for (const stays of staysByVessel(facts.batches).values()) {
    // The stay that keeps the vessel longest so far, not merely the one before: a short stay may lie inside a long one.
    let before: Stay | undefined
    for (const stay of stays) {
      if (before) found.push(...following(facts, before, stay))
      if (stay.planned) found.push(...service(facts, stay))
      if (!before || lastDay(stay) > lastDay(before)) before = stay
    }
  }
  return found
}

function following(facts: Facts, before: Stay, stay: Stay): Violation[] {
  const { vessel } = stay
  const free = freeFrom(before)
  if (stay.enters >= free) return []
  const when = before.emptiedOn === undefined ? 'not emptied in the horizon' : `free from ${facts.dateOf(free)}`
  const message = `batch "${stay.batch.id}" enters "${vessel.id}", which batch "${before.batch.id}" is in: ${when}`
  return [violationOn(Math.max(stay.enters, 0), facts, 'V3', message, vessel.id, stay.batch.id, before.batch.id)]
}

function service(facts: Facts, stay: Stay): Violation[] {
  const { vessel, batch, enters } = stay
  const found: Violation[] = []
  if (vessel.availableFrom !== undefined && enters < facts.dayOf(vessel.availableFrom)) {
    const message = `batch "${batch.id}" enters "${vessel.id}", which is available from ${vessel.availableFrom}`
    found.push(violationOn(enters, facts, 'V3', message, vessel.id, batch.id))
  }
  const last = Math.min(lastDay(stay), facts.horizon - 1)
  for (const { from, to } of vessel.outOfService) {
    if (facts.dayOf(from) > last || facts.dayOf(to) < enters) continue
    const message = `batch "${batch.id}" is in "${vessel.id}" while it is out of service from ${from} to ${to}`
    found.push(violationOn(Math.max(enters, facts.dayOf(from)), facts, 'V3', message, vessel.id, batch.id))
  }
  return found
}
