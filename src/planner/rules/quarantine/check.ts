// V8: quarantined beer is left alone.
import type { Facts } from '../../facts/facts.ts'
import { type Violation, violation, violationOn } from '../../facts/violation.ts'

/** V8: a quarantined batch is neither drawn nor transferred; a quarantined lot gives nothing to a delivery. */
export function quarantine(facts: Facts): Violation[] {
  const found: Violation[] = []
  for (const { run, day, batch } of facts.runs)
    if (batch.quarantined)
      found.push(
        violationOn(day, facts, 'V8', `run "${run.id}" draws quarantined batch "${batch.id}"`, run.id, batch.id),
      )
  for (const { id, quarantined, transfer, furtherTransfers } of facts.batches.values()) {
    const first = transfer ? [transfer.transfer] : []
    for (const one of quarantined ? [...first, ...furtherTransfers] : [])
      found.push(violation('V8', `transfer "${one.id}" moves quarantined batch "${id}"`, one.id, id))
  }
  for (const { id, lot, taken } of facts.parcels)
    for (const { delivery } of lot?.quarantined ? taken : [])
      found.push(
        violationOn(
          delivery.dispatch,
          facts,
          'V8',
          `line "${delivery.line.id}" takes from quarantined lot "${id}"`,
          delivery.line.id,
          id,
        ),
      )
  return found
}
