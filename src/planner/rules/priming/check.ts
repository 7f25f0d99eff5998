// V7: primed packs are filled while the yeast lives.
import type { Facts } from '../../facts/facts.ts'
import { type Violation, violationOn } from '../../facts/violation.ts'

/** V7: a primed pack is filled within its window after the ready day, from a batch whose yeast lives. */
export function priming(facts: Facts): Violation[] {
  const found: Violation[] = []
  for (const { run, day, batch, of } of facts.runs) {
    if (!of.pack.primed) continue
    const last = batch.readyDay + (of.pack.primingWindowDays ?? Infinity)
    if (!batch.primable)
      found.push(violationOn(day, facts, 'V7', `batch "${batch.id}" cannot be primed any more`, run.id, batch.id))
    if (day > last) {
      const message = `run "${run.id}" primes batch "${batch.id}" after ${facts.dateOf(last)}`
      found.push(violationOn(day, facts, 'V7', message, run.id, batch.id))
    }
  }
  return found
}
