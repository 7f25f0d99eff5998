// The opening entries of the ledger: what batches, lots and fleets held when the records began to follow them. Set-up enters
// them; from the first fact about a thing on, its volume and count follow from facts alone.
import { randomUUID } from 'node:crypto'
import { dateOf, dayOf } from '../database/calendar-day.ts'
import type { TransactionClient } from '../database/client.ts'
import { insertRows } from '../database/insert-rows.ts'
import type { Happened } from '../floor/facts/fact.ts'
import { postingsOf } from '../floor/facts/postings.ts'
import { cleanPlace, filledPlace, type Place, vesselPlace } from '../floor/ledger/place.ts'
import type { LocalDate } from '../planner/documents/index.ts'
import { factOf, type Subject } from './fact-rows.ts'
import { appendToLedger, balancesAt } from './ledger.ts'

interface Opening {
  happened: Happened
  siteId: string
  place: Place
  amount: number
  subject?: Subject
}

/**
 * Enters what the ledger does not follow yet, as of `day`, and enters anew what set-up has changed since and no other fact is
 * about. Answers how many were entered. The caller holds the lock; `revision` is the one that its work makes.
 */
export async function openLedger(
  tx: TransactionClient,
  distributorId: string,
  { revision, day, at }: { revision: number; day: LocalDate; at: Date },
): Promise<number> {
  const openings = [
    ...(await batchOpenings(tx, distributorId)),
    ...(await lotOpenings(tx, distributorId)),
    ...(await fleetOpenings(tx, distributorId)),
  ]
  const places = openings.map(({ place }) => place)
  const balances = await balancesAt(tx, distributorId, places)
  const entered = new Map(
    (
      await tx.fact.findMany({
        where: { distributorId, kind: { in: ['BATCH_OPENING', 'LOT_OPENING', 'FLEET_OPENING'] }, replacedById: null },
      })
    ).map((row) => [keyOf(factOf(row)), row]),
  )
  const due = openings.filter(({ place, amount }) => !balances.has(place) || balances.get(place) !== amount)
  if (due.length === 0) return 0
  const { _max } = await tx.fact.aggregate({ where: { distributorId }, _max: { number: true } })
  let number = _max.number ?? 0
  const rows = due.map(({ happened, siteId, subject }) => {
    number += 1
    return { row: openingRow({ distributorId, number, revision, day, at, siteId }, happened), subject, happened }
  })
  await insertRows(
    tx,
    'Fact',
    rows.map(({ row }) => row),
  )
  await insertRows(
    tx,
    'FactSubject',
    rows.flatMap(({ row, subject }) =>
      subject ? [{ distributorId, factId: row.id, kind: subject.kind, subjectId: subject.id }] : [],
    ),
  )
  const gone: string[] = []
  for (const { row, happened } of rows) {
    const before = entered.get(keyOf(happened))
    if (!before) continue
    gone.push(before.id)
    await tx.fact.update({
      where: { distributorId_id: { distributorId, id: before.id } },
      data: { replacedById: row.id },
    })
  }
  const last = await tx.ledgerEntry.findFirst({
    where: { distributorId, revision },
    orderBy: { n: 'desc' },
    select: { n: true },
  })
  const facts = rows.map(({ row, happened }) => ({
    ...{ id: row.id, siteId: row.siteId, day, recorded: row.number, assumed: false },
    ...happened,
  }))
  await appendToLedger(tx, distributorId, { revision, n: last?.n ?? 0 }, facts.flatMap(postingsOf), gone)
  return rows.length
}

interface OpeningOf {
  distributorId: string
  number: number
  revision: number
  day: LocalDate
  at: Date
  siteId: string
}

function openingRow({ day, at, ...row }: OpeningOf, { kind, data }: Happened) {
  return {
    ...row,
    ...{ id: randomUUID(), kind, on: dateOf(day), data: JSON.parse(JSON.stringify(data)) },
    ...{ contentHash: '', saidBy: 'set-up', recordedAt: at },
  }
}

/** What an opening is of, as text. */
function keyOf({ kind, data }: Happened): string {
  if (kind === 'BATCH_OPENING') return vesselPlace(data.batchId)
  if (kind === 'LOT_OPENING') return filledPlace(data.lotId)
  if (kind === 'FLEET_OPENING') return cleanPlace(data.siteId, data.typeId)
  return ''
}

async function batchOpenings(tx: TransactionClient, distributorId: string): Promise<Opening[]> {
  const rows = await tx.batch.findMany({ where: { distributorId, emptiedOn: null } })
  return rows.map((row) => {
    const ml = Math.round(row.litres * 1000)
    const start = {
      ...{ vesselId: row.vesselId, readyAt: row.readyAt.toISOString() },
      ...{ primable: row.primable, quarantined: row.quarantined },
      transferredOn: row.transferredOn ? dayOf(row.transferredOn) : undefined,
      openedOn: row.openedOn ? dayOf(row.openedOn) : undefined,
    }
    return {
      happened: { kind: 'BATCH_OPENING', data: { batchId: row.id, ml, start } },
      ...{ siteId: row.siteId, place: vesselPlace(row.id), amount: ml },
      subject: { kind: 'BATCH', id: row.id },
    }
  })
}

async function lotOpenings(tx: TransactionClient, distributorId: string): Promise<Opening[]> {
  const rows = await tx.stockLot.findMany({
    where: { distributorId, quantity: { gt: 0 } },
    include: { pack: { include: { containerType: true } } },
  })
  return rows.map(({ id: lotId, siteId, quantity, pack }) => {
    const nominalMl = Math.round(pack.containerType.nominalLitres * 1000)
    return {
      happened: { kind: 'LOT_OPENING', data: { lotId, siteId, typeId: pack.containerTypeId, quantity, nominalMl } },
      ...{ siteId, place: filledPlace(lotId), amount: quantity },
      subject: { kind: 'LOT', id: lotId },
    }
  })
}

async function fleetOpenings(tx: TransactionClient, distributorId: string): Promise<Opening[]> {
  const rows = await tx.fleet.findMany({ where: { distributorId } })
  return rows.map(({ siteId, containerTypeId: typeId, cleanNow: quantity }) => ({
    happened: { kind: 'FLEET_OPENING', data: { siteId, typeId, quantity } },
    ...{ siteId, place: cleanPlace(siteId, typeId), amount: quantity },
  }))
}
