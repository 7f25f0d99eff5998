// The ledger in the database: what postings have to know of it, and entries appended with the balances that follow.

import { runBatchedStatement, type Write } from '../database/batched-statement.ts'
import { dateOf, dayOf } from '../database/calendar-day.ts'
import { Prisma, type TransactionClient } from '../database/client.ts'
import type { Entry, Posting } from '../floor/ledger/entry.ts'
import { balancesOf } from '../floor/ledger/identity.ts'
import { isHolder, type Place } from '../floor/ledger/place.ts'
import { type Books, type NewEntry, newEntries } from '../floor/ledger/post.ts'
import { addDays, type LocalDate } from '../planner/documents/index.ts'

/** Where the next entries stand: (revision, n). */
export interface EntryCounter {
  revision: number
  /** The number of the last entry of the revision; 0 where there is none. */
  n: number
}

/**
 * Appends what postings mean, and what takes back the entries of facts that are gone. Answers the places whose balance changed
 * with what they hold now. The rows `along`, which the entries may name, are written in the same statement. The caller holds the
 * distributor's lock.
 */
export async function appendToLedger(
  tx: TransactionClient,
  distributorId: string,
  counter: EntryCounter,
  postings: readonly Posting[],
  gone: readonly string[] = [],
  along: readonly Write[] = [],
): Promise<Map<Place, number>> {
  const books = await readBooks(tx, distributorId, postings, gone)
  const entries = newEntries(books, postings, gone)
  const rows = entries.map((entry) => {
    counter.n += 1
    return { distributorId, revision: counter.revision, n: counter.n, ...rowOf(entry) }
  })
  const changes = balancesOf(entries)
  const units = new Map(entries.flatMap(({ from, to, unit }) => [from, to].map((place) => [place, unit] as const)))
  // Sources and sinks take both units: only holders have a balance.
  const held = [...changes].flatMap(([place, amount]) => {
    const unit = units.get(place)
    return unit !== undefined && isHolder(place) ? [{ distributorId, place, amount, unit }] : []
  })
  await runBatchedStatement(tx, [...along, { model: 'LedgerEntry', rows }, ...(held.length > 0 ? [addedTo(held)] : [])])
  return new Map(held.map(({ place, amount }) => [place, books.balance(place) + amount]))
}

/** The write that adds amounts to what places hold. */
function addedTo(held: readonly object[]): Prisma.Sql {
  return Prisma.sql`INSERT INTO "PlaceBalance" ("distributorId", "place", "unit", "amount")
    SELECT "distributorId", "place", "unit", "amount" FROM jsonb_populate_recordset(NULL::"PlaceBalance", ${JSON.stringify(held)}::jsonb)
    ON CONFLICT ("distributorId", "place") DO UPDATE SET "amount" = "PlaceBalance"."amount" + EXCLUDED."amount"`
}

function rowOf({ day, reverses, ...entry }: NewEntry) {
  return {
    factId: entry.factId,
    on: dateOf(day),
    rank: entry.rank,
    recorded: entry.recorded,
    unit: entry.unit,
    amount: entry.amount,
    from: entry.from,
    to: entry.to,
    setsTo: entry.setsTo ?? null,
    settles: entry.settles ?? false,
    reversesRevision: reverses?.revision ?? null,
    reversesN: reverses?.n ?? null,
  }
}

/** An entry as the ledger's row has it. */
export function entryOf(row: Prisma.LedgerEntryGetPayload<object>): Entry {
  const { revision, n, factId, on, rank, recorded, unit, amount, from, to, setsTo, settles } = row
  const { reversesRevision, reversesN } = row
  return {
    ...{ revision, n, factId, day: dayOf(on), rank, recorded, unit, amount, from, to },
    ...(setsTo === null ? {} : { setsTo }),
    ...(settles ? { settles } : {}),
    ...(reversesRevision === null || reversesN === null
      ? {}
      : { reverses: { revision: reversesRevision, n: reversesN } }),
  }
}

/** What the ledger says of the places that the postings and the facts that are gone touch. */
async function readBooks(
  tx: TransactionClient,
  distributorId: string,
  postings: readonly Posting[],
  gone: readonly string[],
): Promise<Books> {
  const { closedThrough } = await tx.distributor.findUniqueOrThrow({
    where: { id: distributorId },
    select: { closedThrough: true },
  })
  const ofGone =
    gone.length === 0
      ? []
      : (await tx.ledgerEntry.findMany({ where: { distributorId, factId: { in: [...gone] } } })).map(entryOf)
  const touched = [...postings, ...ofGone]
  const places = [...new Set(touched.flatMap(({ from, to }) => [from, to]))].filter(isHolder)
  const first = touched.reduce<LocalDate | undefined>(
    (day, each) => (day === undefined || each.day < day ? each.day : day),
    undefined,
  )
  const balances = await balancesAt(tx, distributorId, places)
  const since =
    first === undefined
      ? []
      : await tx.ledgerEntry.findMany({
          where: { distributorId, on: { gte: dateOf(first) }, OR: [{ from: { in: places } }, { to: { in: places } }] },
          orderBy: [{ revision: 'asc' }, { n: 'asc' }],
        })
  const entries = since.map(entryOf)
  const closed = closedThrough === null ? undefined : dayOf(closedThrough)
  return {
    balance: (place) => balances.get(place) ?? 0,
    since: (place, day) => entries.filter((each) => each.day >= day && (each.from === place || each.to === place)),
    ofFact: (factId) => ofGone.filter((each) => each.factId === factId),
    ...(closed === undefined ? {} : { closedThrough: closed, firstOpen: addDays(closed, 1) }),
  }
}

/** What places hold that a list names; a place that is not known holds nothing. */
export async function balancesAt(
  tx: TransactionClient,
  distributorId: string,
  places: readonly Place[],
): Promise<Map<Place, number>> {
  const rows = await tx.placeBalance.findMany({ where: { distributorId, place: { in: [...places] } } })
  return new Map(rows.map(({ place, amount }) => [place, Number(amount)]))
}
