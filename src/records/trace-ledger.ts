// The ledger in the database as traces read it. Of a lot that set-up entered with its batch, the opening counts as its fill.
import { z } from 'zod'
import { dateOf, dayOf } from '../database/calendar-day.ts'
import { Prisma, type TransactionClient } from '../database/client.ts'
import { isFactKind } from '../floor/facts/fact.ts'
import { keyOf, kindOf, type Place, packedPlace, roadPlace, UNITS, vesselPlace } from '../floor/ledger/place.ts'
import { calledBackBy } from '../floor/trace/called-back.ts'
import { lotOf, type Reading, type TracedEntry, type TraceLedger } from '../floor/trace/trace-ledger.ts'
import { factsOn } from './fact-rows.ts'
import { balancesAt } from './ledger.ts'

const rowsShape = z.array(
  z.object({
    from: z.string(),
    to: z.string(),
    unit: z.enum(UNITS),
    amount: z.int(),
    on: z.date().transform(dayOf),
    rank: z.int(),
    recorded: z.int(),
    revision: z.int(),
    n: z.int(),
    factId: z.string(),
    kind: z.string().refine(isFactKind),
  }),
)

/** Reads within a transaction; each question takes at most two queries. */
export function traceLedger(tx: TransactionClient, distributorId: string): TraceLedger {
  return {
    into: async (places, reading) => [
      ...(await entries(tx, distributorId, Prisma.sql`e."to"`, places, reading)),
      ...(await openedFills(tx, distributorId, Prisma.sql`l."id"`, lotsIn(places))),
    ],
    outOf: async (places, reading) => [
      ...(await entries(tx, distributorId, Prisma.sql`e."from"`, places, reading)),
      ...(await openedFills(tx, distributorId, Prisma.sql`l."batchId"`, batchesIn(places))),
    ],
    roadsOf: (lotIds) => roadsOf(tx, distributorId, lotIds),
    calledBack: async (lotIds) => {
      const facts = await factsOn(tx, distributorId, { kind: 'LOT', ids: lotIds }, ['RECALLED'])
      return calledBackBy(facts).filter(({ lotId }) => lotIds.includes(lotId))
    },
    held: (places) => balancesAt(tx, distributorId, places),
  }
}

const lotsIn = (places: readonly Place[]) =>
  places.filter((place) => kindOf(place) === 'PACKED').flatMap((place) => lotOf(place) ?? [])
const batchesIn = (places: readonly Place[]) =>
  places.filter((place) => kindOf(place) === 'VESSEL').map((place) => keyOf(place)[0] ?? '')

/** Entries with one end at a place, the newest first; those that were taken back, and those that take them back, are left out. */
async function entries(
  tx: TransactionClient,
  distributorId: string,
  end: Prisma.Sql,
  places: readonly Place[],
  { most, since }: Reading,
): Promise<TracedEntry[]> {
  if (places.length === 0) return []
  const from = since === undefined ? Prisma.empty : Prisma.sql`AND e."on" >= ${dateOf(since)}`
  return tracedOf(
    await tx.$queryRaw`
      SELECT e."from", e."to", e."unit"::text, e."amount", e."on", e."rank", e."recorded", e."revision", e."n", e."factId", f."kind"
      FROM "LedgerEntry" e JOIN "Fact" f ON f."distributorId" = e."distributorId" AND f."id" = e."factId"
      WHERE e."distributorId" = ${distributorId} AND ${end} = ANY(${[...places]}::text[]) ${from}
        AND e."reversesRevision" IS NULL AND NOT EXISTS (
          SELECT 1 FROM "LedgerEntry" r
          WHERE r."distributorId" = e."distributorId" AND r."from" = e."to" AND r."on" >= e."on"
            AND r."reversesRevision" = e."revision" AND r."reversesN" = e."n")
      ORDER BY e."on" DESC, e."rank" DESC, e."recorded" DESC, e."revision" DESC, e."n" DESC
      LIMIT ${most}`,
  )
}

/** Lots that set-up entered with the batch that they were filled from: as if the opening had filled them. */
async function openedFills(
  tx: TransactionClient,
  distributorId: string,
  column: Prisma.Sql,
  ids: readonly string[],
): Promise<TracedEntry[]> {
  if (ids.length === 0) return []
  const rows = z
    .array(
      z.object({
        id: z.string(),
        batchId: z.string(),
        fact: z.string(),
        filledOn: z.date().transform(dayOf),
        number: z.int(),
        revision: z.int(),
        amount: z.number(),
      }),
    )
    .parse(
      await tx.$queryRaw`
        SELECT l."id", l."batchId", l."filledOn", f."id" AS "fact", f."number", f."revision",
          (f."data"->>'quantity')::float8 * (f."data"->>'nominalMl')::float8 AS "amount"
        FROM "StockLot" l
        JOIN "FactSubject" s ON s."distributorId" = l."distributorId" AND s."kind" = 'LOT' AND s."subjectId" = l."id"
        JOIN "Fact" f ON f."distributorId" = s."distributorId" AND f."id" = s."factId"
        WHERE l."distributorId" = ${distributorId} AND ${column} = ANY(${[...ids]}::text[]) AND l."batchId" IS NOT NULL
          AND f."kind" = 'LOT_OPENING' AND f."replacedById" IS NULL
        ORDER BY l."id"`,
    )
  return rows.map(({ id, batchId, fact, filledOn, number, revision, amount }) => ({
    ...{ from: vesselPlace(batchId), to: packedPlace(id), unit: 'MILLILITRES', amount, day: filledOn },
    ...{ rank: 0, recorded: number, revision, n: 0, factId: fact, kind: 'LOT_OPENING' },
  }))
}

/** Where facts that count say that lots have been on the road. */
async function roadsOf(tx: TransactionClient, distributorId: string, lotIds: readonly string[]): Promise<Place[]> {
  const facts = await factsOn(tx, distributorId, { kind: 'LOT', ids: lotIds }, ['DISPATCHED', 'DELIVERED', 'REFUSED'])
  const roads = facts.flatMap(({ data: { orderLineId, lots } }) =>
    lots.flatMap(({ lotId }) => (lotIds.includes(lotId) ? [roadPlace(orderLineId, lotId)] : [])),
  )
  return [...new Set(roads)].sort()
}

function tracedOf(rows: unknown): TracedEntry[] {
  return rowsShape.parse(rows).map(({ on: day, ...row }) => ({ ...row, day }))
}
