// What facts and set-up changes of a random sequence can be about: the things that the records have now, by plain ids.

import { z } from 'zod'
import { dayOf } from '../../src/database/calendar-day.ts'
import { Prisma } from '../../src/database/client.ts'
import type { LocalDate } from '../../src/planner/documents/index.ts'
import type { PlanningActor } from '../../src/resolvers/planning-actor.ts'
import type { Documents } from '../../tools/seasons/checks.ts'

export interface Things {
  documents: Documents
  /** Lots that are there or were, and batches likewise. */
  lotIds: string[]
  batchIds: string[]
  /** Lines of orders, whatever became of them. */
  lineIds: string[]
  /** Facts that a correction may name. */
  facts: { id: string; kind: string; on: LocalDate }[]
  /** Lines with containers on the road. */
  onRoad: string[]
}

const idsShape = z.array(z.object({ kind: z.string(), id: z.string() }))

/** Reads them, each kind in order of id, facts in order of recording. */
export async function readThings({ client, distributorId }: PlanningActor, documents: Documents): Promise<Things> {
  const of = (kind: string, from: Prisma.Sql) =>
    Prisma.sql`SELECT ${kind}::text AS "kind", "id" FROM ${from} WHERE "distributorId" = ${distributorId}`
  const rows = idsShape.parse(
    await client.$queryRaw`
      ${of('lot', Prisma.sql`"StockLot"`)} UNION ALL ${of('batch', Prisma.sql`"Batch"`)}
      UNION ALL ${of('line', Prisma.sql`"OrderLine"`)}
      UNION ALL SELECT 'road', split_part("place", '|', 2) FROM "PlaceBalance"
        WHERE "distributorId" = ${distributorId} AND "place" LIKE 'ON_ROAD|%' AND "amount" > 0`,
  )
  const ids = (kind: string) => [...new Set(rows.filter((row) => row.kind === kind).map(({ id }) => id))].sort()
  const facts = await client.fact.findMany({
    where: { distributorId, correctsId: null, kind: { not: { endsWith: '_OPENING' } } },
    orderBy: { number: 'asc' },
    select: { id: true, kind: true, on: true },
  })
  return {
    documents,
    facts: facts.map(({ on, ...fact }) => ({ ...fact, on: dayOf(on) })),
    ...{ lotIds: ids('lot'), batchIds: ids('batch'), lineIds: ids('line'), onRoad: ids('road') },
  }
}
