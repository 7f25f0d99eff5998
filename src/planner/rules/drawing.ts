// V4, V7, V8, V10: which packs may be drawn from which vessel when, and which batches at all.
import type { Facts } from '../facts/facts.ts'
import { type Violation, violation, violationOn } from '../facts/violation.ts'

/**
 * V4: packs from a fermenter from the ready day to the day of transfer; packs from a bright vessel from the transfer
 * day + `brightDays`; no transfer before the ready day; and only packs of the batch's own beer.
 */
export function drawDays(facts: Facts): Violation[] {
  const found: Violation[] = []
  for (const { run, day, batch, of, stay } of facts.runs) {
    const say = (message: string) => found.push(violationOn(day, facts, 'V4', message, run.id, batch.id))
    if (of.beer.id !== batch.beer.id)
      say(`run "${run.id}" fills a pack of "${of.beer.id}" from batch "${batch.id}" of "${batch.beer.id}"`)
    if (stay.in !== of.pack.drawFrom) {
      say(
        `run "${run.id}" needs batch "${batch.id}" in a ${of.pack.drawFrom === 'BRIGHT' ? 'bright vessel' : 'fermenter'}`,
      )
      continue
    }
    if (day < stay.firstFillDay)
      say(
        `run "${run.id}" is before ${facts.dateOf(stay.firstFillDay)}, the first day to fill from "${stay.vessel.id}"`,
      )
    if (stay.in === 'FERMENTER' && batch.transfer && day > batch.transfer.day)
      say(`run "${run.id}" draws from the fermenter after batch "${batch.id}" was transferred`)
  }
  for (const { id, readyDay, transfer } of facts.batches.values())
    if (transfer && transfer.day < readyDay) {
      const message = `batch "${id}" is transferred before its ready day ${facts.dateOf(readyDay)}`
      found.push(violationOn(transfer.day, facts, 'V4', message, transfer.transfer.id, id))
    }
  return found
}

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

/** V8: a quarantined batch is neither drawn nor transferred. */
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
  return found
}

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
