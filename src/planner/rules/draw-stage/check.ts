// V4: which packs may be drawn from which vessel when, and no transfer before the beer is ready.
import type { Facts } from '../../facts/facts.ts'
import { type Violation, violationOn } from '../../facts/violation.ts'

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
