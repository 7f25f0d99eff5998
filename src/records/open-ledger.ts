// The opening entries of the ledger: what batches, lots and fleets held when the records began to follow them. Set-up enters
// them; from the first fact about a thing on, its volume and count follow from facts alone.
import { randomUUID } from 'node:crypto'
import { isDeepStrictEqual } from 'node:util'
import { dateOf, dayOf } from '../database/calendar-day.ts'
import type { Prisma, TransactionClient } from '../database/client.ts'
import { insertRows } from '../database/insert-rows.ts'
import type { Happened } from '../floor/facts/fact.ts'
import { postingsOf } from '../floor/facts/postings.ts'
import { cleanPlace, type Place } from '../floor/ledger/place.ts'
import type { LocalDate } from '../planner/documents/index.ts'
import { EFFECTIVE, type Subject } from './fact-rows.ts'
import { appendToLedger } from './ledger.ts'
import { projectFacts } from './project-facts.ts'

/** The kinds of things that the ledger follows. */
export const OPENED_KINDS = ['Batch', 'StockLot', 'Fleet'] as const
export type OpenedKind = (typeof OPENED_KINDS)[number]

/** One thing that the ledger follows. */
export interface Opened {
  kind: OpenedKind
  id: string
}

interface Opening {
  happened: Happened
  siteId: string
  subjects: Subject[]
}

/** When something is entered: in the revision that the caller makes, as of a day. */
interface Entering<Day> {
  revision: number
  day: Day
  at: Date
}

/** Enters all that a new distributor has. The caller holds the lock, or is alone. */
export async function openLedger(
  tx: TransactionClient,
  distributorId: string,
  time: Entering<LocalDate>,
): Promise<void> {
  const where = { distributorId }
  const openings = [
    ...(await batchOpenings(tx, { ...where, emptiedOn: null })),
    ...(await lotOpenings(tx, { ...where, quantity: { gt: 0 } })),
    ...(await fleetOpenings(tx, where)),
  ]
  await enter(tx, distributorId, openings, [], time)
}

/**
 * Enters what set-up says of one thing; what it said before is taken back. The caller holds the lock, has seen that no fact
 * names the thing, and enters nothing else in the revision.
 */
export async function openThing(
  tx: TransactionClient,
  distributorId: string,
  { kind, id }: Opened,
  { day, ...time }: Entering<(timeZone: string) => LocalDate>,
): Promise<void> {
  const [opening] = await openingsOf[kind](tx, { distributorId, id })
  if (!opening) throw new Error(`there is no ${kind} ${id} to be opened`)
  const { happened, siteId } = opening
  const before = await tx.fact.findFirst({
    where: { distributorId, ...EFFECTIVE, kind: happened.kind, ...ofSame(opening) },
  })
  if (before && isDeepStrictEqual(before.data, JSON.parse(JSON.stringify(happened.data)))) return
  const { timeZone } = await tx.site.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id: siteId } } })
  const gone = before ? [before.id] : []
  const balances = await enter(tx, distributorId, [opening], gone, { ...time, day: day(timeZone) })
  // The row says the same already, unless facts about a fleet came before it was set up.
  await projectFacts(tx, distributorId, [], balances, false)
}

/** The condition of facts about the same thing. */
function ofSame({ happened, subjects: [subject] }: Opening): Prisma.FactWhereInput {
  if (subject) return { subjects: { some: { kind: subject.kind, subjectId: subject.id } } }
  if (happened.kind !== 'FLEET_OPENING') throw new Error(`a ${happened.kind} is about something`)
  const { siteId, typeId } = happened.data
  return { AND: [{ data: { path: ['siteId'], equals: siteId } }, { data: { path: ['typeId'], equals: typeId } }] }
}

async function enter(
  tx: TransactionClient,
  distributorId: string,
  openings: readonly Opening[],
  gone: readonly string[],
  { revision, day, at }: Entering<LocalDate>,
): Promise<Map<Place, number>> {
  const { _max } = await tx.fact.aggregate({ where: { distributorId }, _max: { number: true } })
  const first = (_max.number ?? 0) + 1
  const entered = openings.map((opening, index) => ({ ...opening, id: randomUUID(), number: first + index }))
  await insertRows(
    tx,
    'Fact',
    entered.map(({ id, number, siteId, happened: { kind, data } }) => ({
      ...{ distributorId, id, number, revision, siteId, kind, on: dateOf(day), data: JSON.parse(JSON.stringify(data)) },
      ...{ contentHash: '', saidBy: 'set-up', recordedAt: at },
    })),
  )
  await insertRows(
    tx,
    'FactSubject',
    entered.flatMap(({ id: factId, subjects }) =>
      subjects.map(({ kind, id: subjectId }) => ({ distributorId, factId, kind, subjectId })),
    ),
  )
  const replacedById = entered[0]?.id ?? null
  if (gone.length > 0)
    await tx.fact.updateMany({ where: { distributorId, id: { in: [...gone] } }, data: { replacedById } })
  const facts = entered.map(({ id, siteId, number, happened }) => ({
    ...{ id, siteId, day, recorded: number, assumed: false },
    ...happened,
  }))
  return appendToLedger(tx, distributorId, { revision, n: 0 }, facts.flatMap(postingsOf), gone)
}

const openingsOf = { Batch: batchOpenings, StockLot: lotOpenings, Fleet: fleetOpenings } satisfies Record<
  OpenedKind,
  (tx: TransactionClient, where: { distributorId: string; id: string }) => Promise<Opening[]>
>

async function batchOpenings(tx: TransactionClient, where: Prisma.BatchWhereInput): Promise<Opening[]> {
  const date = (day: Date | null) => (day ? dayOf(day) : undefined)
  return (await tx.batch.findMany({ where })).map((row) => {
    const start = {
      ...{ vesselId: row.vesselId, readyAt: row.readyAt.toISOString() },
      ...{ primable: row.primable, quarantined: row.quarantined },
      ...{ transferredOn: date(row.transferredOn), openedOn: date(row.openedOn), emptiedOn: date(row.emptiedOn) },
    }
    const ml = Math.round(row.litres * 1000)
    return {
      happened: { kind: 'BATCH_OPENING', data: { batchId: row.id, ml, start } },
      siteId: row.siteId,
      subjects: [{ kind: 'BATCH', id: row.id }],
    }
  })
}

async function lotOpenings(tx: TransactionClient, where: Prisma.StockLotWhereInput): Promise<Opening[]> {
  const rows = await tx.stockLot.findMany({ where, include: { pack: { include: { containerType: true } } } })
  return rows.map(({ id: lotId, siteId, quantity, pack }) => {
    const nominalMl = Math.round(pack.containerType.nominalLitres * 1000)
    return {
      happened: { kind: 'LOT_OPENING', data: { lotId, siteId, typeId: pack.containerTypeId, quantity, nominalMl } },
      ...{ siteId, subjects: [{ kind: 'LOT', id: lotId }] },
    }
  })
}

async function fleetOpenings(tx: TransactionClient, where: Prisma.FleetWhereInput): Promise<Opening[]> {
  const rows = await tx.fleet.findMany({ where })
  return rows.map(({ siteId, containerTypeId: typeId, cleanNow: quantity }) => ({
    happened: { kind: 'FLEET_OPENING', data: { siteId, typeId, quantity } },
    ...{ siteId, subjects: [] },
  }))
}

/** The first fact that says something of the thing beside its opening: its kind and day; undefined where none does. */
export async function firstFactOf(
  tx: TransactionClient,
  distributorId: string,
  { kind, id }: Opened,
): Promise<{ kind: string; on: LocalDate } | undefined> {
  const where = { distributorId, ...EFFECTIVE, NOT: { kind: { endsWith: '_OPENING' } } }
  const orderBy = { number: 'asc' } as const
  if (kind !== 'Fleet') {
    const subject = { kind: kind === 'Batch' ? 'BATCH' : 'LOT', subjectId: id } as const
    const fact = await tx.fact.findFirst({ where: { ...where, subjects: { some: subject } }, orderBy })
    return fact ? { kind: fact.kind, on: dayOf(fact.on) } : undefined
  }
  const { siteId, containerTypeId } = await tx.fleet.findUniqueOrThrow({
    where: { distributorId_id: { distributorId, id } },
  })
  const place = cleanPlace(siteId, containerTypeId)
  const [fact] = await tx.$queryRaw<{ kind: string; on: Date }[]>`
    SELECT f."kind", f."on" FROM "Fact" f
    WHERE f."distributorId" = ${distributorId} AND f."replacedById" IS NULL AND NOT f."withdraws" AND f."kind" <> 'FLEET_OPENING'
      AND f."id" IN (
        SELECT e."factId" FROM "LedgerEntry" e
        WHERE e."distributorId" = ${distributorId} AND (e."from" = ${place} OR e."to" = ${place}))
    ORDER BY f."number" LIMIT 1`
  return fact && { kind: fact.kind, on: dayOf(fact.on) }
}
