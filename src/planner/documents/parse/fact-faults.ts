// What the shape of a problem's facts and wishes (batches, stock lots, order lines) cannot say about itself.

import type { Batch, StockLot, Vessel } from '../problem.ts'
import { type Fault, fault } from './faults.ts'
import type { DocumentEntry, Readable } from './readable.ts'
import { checkReference, type KnownIds } from './references.ts'

/**
 * Faults of batches, stock lots and order lines. A fact that is unusual but possible is no fault: a batch of more
 * litres than its vessel is said to hold, in a vessel that its beer does not name, or a serve day in the past.
 */
export function factFaults(problem: Readable, known: KnownIds): Fault[] {
  const faults: Fault[] = []
  const refer = (kind: keyof KnownIds, id: string, path: string) => checkReference(known[kind], kind, id, path, faults)

  const vessels = new Map(problem.vessels.entries.map(({ value }) => [value.id, value]))
  const holderOf = new Map<string, string>()
  for (const entry of problem.batches.entries) {
    const { at, value: batch } = entry
    refer('beer', batch.beerId, `${at}.beerId`)
    refer('vessel', batch.vesselId, `${at}.vesselId`)
    const holder = holderOf.get(batch.vesselId)
    if (holder === undefined) holderOf.set(batch.vesselId, batch.id)
    else
      faults.push(
        fault(
          `${at}.vesselId`,
          'VESSEL_HOLDS_TWO_BATCHES',
          `vessel "${batch.vesselId}" holds batch "${holder}" already`,
        ),
      )
    batchFaults(entry, vessels.get(batch.vesselId), problem.today, faults)
  }

  for (const entry of problem.stock.entries) {
    refer('site', entry.value.siteId, `${entry.at}.siteId`)
    refer('pack', entry.value.packId, `${entry.at}.packId`)
    lotFaults(entry, problem.today, faults)
  }

  for (const { at, value: line } of problem.orderLines.entries) {
    refer('account', line.accountId, `${at}.accountId`)
    refer('pack', line.packId, `${at}.packId`)
    if (line.latestServeOn !== undefined && line.latestServeOn < line.serveOn)
      faults.push(
        fault(
          `${at}.latestServeOn`,
          'LATEST_BEFORE_SERVE',
          `the latest day, ${line.latestServeOn}, is before the serve day, ${line.serveOn}`,
        ),
      )
  }
  return faults
}

function batchFaults(
  { at, value: batch }: DocumentEntry<Batch>,
  vessel: Vessel | undefined,
  today: string | undefined,
  faults: Fault[],
): void {
  if (vessel?.kind === 'BRIGHT' && batch.transferredOn === undefined)
    faults.push(fault(`${at}.transferredOn`, 'TRANSFER_DATE_MISSING', `vessel "${vessel.id}" is a bright vessel`))
  if (vessel?.kind === 'FERMENTER' && batch.transferredOn !== undefined)
    faults.push(fault(`${at}.transferredOn`, 'TRANSFER_DATE_UNEXPECTED', `vessel "${vessel.id}" is a fermenter`))
  notAfterToday(`${at}.transferredOn`, 'transferred', batch.transferredOn, today, faults)
  notAfterToday(`${at}.openedOn`, 'opened', batch.openedOn, today, faults)
  if (batch.openedOn !== undefined && batch.transferredOn !== undefined && batch.openedOn < batch.transferredOn)
    faults.push(
      fault(
        `${at}.openedOn`,
        'OPENED_BEFORE_TRANSFER',
        `opened on ${batch.openedOn}, but transferred into this vessel only on ${batch.transferredOn}`,
      ),
    )
}

function lotFaults({ at, value: lot }: DocumentEntry<StockLot>, today: string | undefined, faults: Fault[]): void {
  notAfterToday(`${at}.filledOn`, 'filled', lot.filledOn, today, faults)
  if (lot.readyOn < lot.filledOn)
    faults.push(fault(`${at}.readyOn`, 'LOT_DATES_REVERSED', `ready on ${lot.readyOn}, filled on ${lot.filledOn}`))
  if (lot.bestBefore < lot.filledOn)
    faults.push(
      fault(`${at}.bestBefore`, 'LOT_DATES_REVERSED', `best before ${lot.bestBefore}, filled on ${lot.filledOn}`),
    )
}

function notAfterToday(
  path: string,
  what: string,
  day: string | undefined,
  today: string | undefined,
  faults: Fault[],
): void {
  if (day !== undefined && today !== undefined && day > today)
    faults.push(fault(path, 'FACT_IN_FUTURE', `${what} on ${day}, which is after today, ${today}`))
}
