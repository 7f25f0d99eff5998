// V6, V9, T4, L2: transfers move all that is left, and all beer is accounted for.

import { LITRE_TOLERANCE } from '../documents/tolerances.ts'
import { drawnLitres, type Stay, type TransferFacts } from '../facts/cellar.ts'
import type { Facts } from '../facts/facts.ts'
import { showLitres, type Violation, violation, violationOn } from '../facts/violation.ts'

/** V6: one transfer a batch, of all that is left, into one bright vessel of the same site that it fits. */
export function transfers(facts: Facts): Violation[] {
  const found: Violation[] = []
  for (const batch of facts.batches.values()) {
    for (const { id } of batch.furtherTransfers)
      found.push(violation('V6', `transfer "${id}": batch "${batch.id}" is transferred already`, id, batch.id))
    if (!batch.transfer) continue
    const { transfer, vessel, day, leftLitres } = batch.transfer
    const say = (message: string) =>
      found.push(violationOn(day, facts, 'V6', `transfer "${transfer.id}" ${message}`, transfer.id, vessel.id))
    if (vessel.kind !== 'BRIGHT') say(`goes into "${vessel.id}", which is no bright vessel`)
    if (vessel.siteId !== batch.site.site.id) say(`goes into "${vessel.id}" of another site`)
    if (transfer.litres < vessel.minFillLitres - LITRE_TOLERANCE)
      say(`moves ${showLitres(transfer.litres)}, less than the smallest fill ${showLitres(vessel.minFillLitres)}`)
    if (transfer.litres > vessel.capacityLitres + LITRE_TOLERANCE)
      say(`moves ${showLitres(transfer.litres)}, more than the capacity ${showLitres(vessel.capacityLitres)}`)
    if (!isSame(transfer.litres, leftLitres))
      say(`moves ${showLitres(transfer.litres)}; ${showLitres(leftLitres)} are left in the fermenter`)
  }
  return found
}

/** T4: dumping and the fermenter's fills come before a transfer of the same day; one that moves that beer too does not know. */
export function orderWithinDay(facts: Facts): Violation[] {
  const found: Violation[] = []
  for (const batch of facts.batches.values()) {
    const { transfer } = batch
    if (!transfer || isSame(transfer.transfer.litres, transfer.leftLitres)) continue
    const tooMuch = transfer.transfer.litres - transfer.leftLitres
    if (!sameDayLitres(transfer).some((litres) => isSame(tooMuch, litres))) continue
    const message = `transfer "${transfer.transfer.id}" moves beer that is filled or dumped before it on the same day`
    found.push(violationOn(transfer.day, facts, 'T4', message, transfer.transfer.id, batch.id))
  }
  return found
}

/** What leaves the fermenter on the day of its transfer: dumped, filled (with its set-ups), and both. */
function sameDayLitres({ batch, day }: TransferFacts): number[] {
  const fermenter = batch.stays[0]
  if (!fermenter) return []
  const dumped = fermenter.dumps.filter((dump) => dump.day === day).reduce((sum, { litres }) => sum + litres, 0)
  const setUps = fermenter.setUps.filter((setUp) => setUp.day === day)
  const filled =
    drawnLitres(fermenter.runs.filter((run) => run.day === day)) +
    setUps.reduce((sum, { lossLitres }) => sum + lossLitres, 0)
  return [dumped, filled, dumped + filled].filter((litres) => litres > LITRE_TOLERANCE)
}

/** V9: no more leaves a vessel than came into it, and nothing is dumped before it is there. */
export function allBeerAccountedFor(facts: Facts): Violation[] {
  const found: Violation[] = []
  for (const stay of allStays(facts)) {
    const { batch, vessel } = stay
    if (missingLitres(stay) > LITRE_TOLERANCE)
      found.push(
        violation(
          'V9',
          `${showLitres(missingLitres(stay))} more of batch "${batch.id}" leave "${vessel.id}" than are in it`,
          batch.id,
          vessel.id,
        ),
      )
    for (const { day } of stay.dumps)
      if (day < stay.enters)
        found.push(violationOn(day, facts, 'V9', `batch "${batch.id}" is dumped before it is brewed`, batch.id))
  }
  return found
}

/** L2: a vessel that would hold enough if containers took their nominal litres has been drawn without the overfill. */
export function overfill(facts: Facts): Violation[] {
  const found: Violation[] = []
  for (const stay of allStays(facts)) {
    const short = missingLitres(stay)
    const nominal = stay.runs.reduce((sum, { run, of }) => sum + run.quantity * of.type.nominalLitres, 0)
    const over = drawnLitres(stay.runs) - nominal
    if (short <= LITRE_TOLERANCE || short > over + LITRE_TOLERANCE) continue
    const message = `the containers filled from batch "${stay.batch.id}" take ${showLitres(over)} more than their nominal litres`
    found.push(violation('L2', message, stay.batch.id, stay.vessel.id))
  }
  return found
}

function missingLitres(stay: Stay): number {
  return -stay.leftLitres
}

function allStays(facts: Facts): Stay[] {
  return [...facts.batches.values()].flatMap(({ stays }) => stays)
}

function isSame(a: number, b: number): boolean {
  return Math.abs(a - b) <= LITRE_TOLERANCE
}
