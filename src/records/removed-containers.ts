// What the ledger says of filled containers that left their sites, or came back, in a span of days.
import { z } from 'zod'
import { dateOf } from '../database/calendar-day.ts'
import type { TransactionClient } from '../database/client.ts'
import type { LocalDate } from '../planner/documents/index.ts'
import type { RemovalKind, Removed } from '../sheets/removals.ts'
import { readStrengths } from './batch-strengths.ts'
import { byId } from './sheet-records.ts'

/** The kinds of fact that take filled containers out, or bring them back. */
const KINDS: Readonly<Record<string, RemovalKind>> = {
  DISPATCHED: 'DISPATCHED',
  REFUSED: 'RETURNED',
  ISSUED: 'ISSUED',
  LOT_DESTROYED: 'DESTROYED',
}

const rowsShape = z.array(z.object({ kind: z.string(), assumed: z.boolean(), lotId: z.string(), quantity: z.int() }))

/** What of a span of days is asked for. */
export interface RemovalSpan {
  from: LocalDate
  to: LocalDate
  /** Absent: of all sites. */
  siteId?: string | undefined
}

/**
 * Sums by lot, in one query over the entries of the span. Corrections count on the day on which the ledger has them: on their
 * own, or on the first open one.
 */
export async function readRemoved(
  tx: TransactionClient,
  distributorId: string,
  { from, to, siteId }: RemovalSpan,
): Promise<Removed[]> {
  const rows = rowsShape.parse(
    await tx.$queryRaw`
      SELECT f."kind", f."assumed", split_part(CASE WHEN e."from" LIKE 'FILLED|%' THEN e."from" ELSE e."to" END, '|', 2) AS "lotId",
        SUM(CASE WHEN e."from" LIKE 'FILLED|%' THEN e."amount" ELSE -e."amount" END)::int AS "quantity"
      FROM "LedgerEntry" e JOIN "Fact" f ON f."distributorId" = e."distributorId" AND f."id" = e."factId"
      WHERE e."distributorId" = ${distributorId} AND e."unit" = 'CONTAINERS' AND NOT e."settles"
        AND e."on" BETWEEN ${dateOf(from)} AND ${dateOf(to)}
        AND f."kind" = ANY(${Object.keys(KINDS)}::text[])
        AND (e."from" LIKE 'FILLED|%' OR e."to" LIKE 'FILLED|%')
      GROUP BY 1, 2, 3`,
  )
  const lots = byId(
    await tx.stockLot.findMany({
      where: { distributorId, id: { in: rows.map(({ lotId }) => lotId) } },
      include: { pack: { include: { beer: true, containerType: true } } },
    }),
  )
  const strengthOf = await readStrengths(
    tx,
    distributorId,
    [...lots.values()].flatMap(({ batchId }) => batchId ?? []),
  )
  return rows.flatMap(({ kind: fact, assumed, lotId, quantity }) => {
    const [lot, kind] = [lots.get(lotId), KINDS[fact]]
    if (!lot || !kind || (siteId !== undefined && lot.siteId !== siteId)) return []
    const { beer, containerType } = lot.pack
    return {
      ...{ kind, isAssumed: assumed, beerId: beer.id, containerTypeId: containerType.id },
      ...{ litresEach: containerType.nominalLitres, strength: strengthOf(lot.batchId, beer.abv) },
      // What came back counts as so many that came back.
      quantity: kind === 'RETURNED' ? -quantity : quantity,
    }
  })
}
