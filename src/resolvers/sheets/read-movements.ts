// Movements for accounting in pages, in the order of the ledger, which only grows: nothing is ever put before what was read.
import { z } from 'zod'
import { Prisma } from '../../database/client.ts'
import { inTransaction } from '../../database/transaction.ts'
import { Conflict, issue } from '../../errors.ts'
import { localDate } from '../../planner/documents/index.ts'
import { type MovementFilter, movementsIn, readMovementRows, withNames } from '../../records/movements.ts'
import { MOVEMENT_KINDS, type Movement } from '../../sheets/movement.ts'
import type { Actor } from '../actor.ts'
import { cutPage, type PageAsked } from '../changes/cut-page.ts'
import type { Position } from '../changes/position.ts'
import { changedSince } from '../changes/updated.ts'
import { readInput } from '../read-input.ts'
import { References, thingRef } from '../thing-ref.ts'

const shape = z.strictObject({
  filter: z
    .strictObject({
      kinds: z.array(z.enum(MOVEMENT_KINDS)).max(MOVEMENT_KINDS.length).optional(),
      ...{ from: localDate.optional(), to: localDate.optional(), site: thingRef.optional(), changedSince },
    })
    .default({}),
})

/** What a filter stands for. Throws `InvalidInput`, `NotFound`. */
export async function movementFilter(
  { client, distributorId }: Pick<Actor, 'client' | 'distributorId'>,
  filter: unknown,
): Promise<MovementFilter> {
  const reading = readInput(shape, { filter })
  const { site, changedSince: since, ...rest } = reading.given.filter
  const refs = new References(client, distributorId)
  refs.take(reading)
  if (rest.from !== undefined && rest.to !== undefined && rest.to < rest.from)
    refs.noteBeside(
      ['filter.from', 'filter.to'],
      issue('filter.to', 'SPAN_REVERSED', `${rest.to} is before ${rest.from}`),
    )
  const siteId = site && (await refs.subject('Site', site, 'filter.site'))?.id
  refs.settle()
  return { ...rest, siteId, ...(since === undefined ? {} : { changedSince: new Date(since) }) }
}

/** A page of movements. Throws `Conflict` (CURSOR_LOST) where a place is none of the ledger. */
export function readMovements(
  { client, distributorId }: Actor,
  filter: MovementFilter,
  asked: PageAsked<Position>,
): Promise<{ movements: Movement[]; hasNext: boolean; hasPrevious: boolean }> {
  return inTransaction(
    client,
    async (tx) => {
      for (const place of [asked.after, asked.before])
        if (place && place.revision > 0 && !(await isThere(tx, distributorId, place))) throw new Conflict('CURSOR_LOST')
      const where = Prisma.join(
        [
          movementsIn(distributorId, filter),
          ...(asked.after ? [behind(asked.after, '>')] : []),
          ...(asked.before ? [behind(asked.before, '<')] : []),
        ],
        ' AND ',
      )
      const found = await readMovementRows(tx, distributorId, where, { ...asked, count: asked.count + 1 })
      const { rows, ...beside } = cutPage(found, asked)
      return { movements: await withNames(tx, distributorId, rows), ...beside }
    },
    'RepeatableRead',
  )
}

/** How many movements there are. */
export async function countMovements({ client, distributorId }: Actor, filter: MovementFilter): Promise<number> {
  const rows = await client.$queryRaw`SELECT count(*)::int AS "count" FROM ${movementsIn(distributorId, filter)}`
  return z.array(z.object({ count: z.number() })).parse(rows)[0]?.count ?? 0
}

function behind({ revision, n }: Position, sign: '>' | '<'): Prisma.Sql {
  return Prisma.sql`(m."revision", m."n") ${Prisma.raw(sign)} (${revision}::int, ${n}::int)`
}

/** Whether the ledger has the entry, of the same commit as far as the log remembers it. */
async function isThere(
  tx: Pick<Actor['client'], '$queryRaw'>,
  distributorId: string,
  { revision, n, epoch }: Position,
): Promise<boolean> {
  const found = await tx.$queryRaw<object[]>`
    SELECT 1 FROM "LedgerEntry" e
    WHERE e."distributorId" = ${distributorId} AND e."revision" = ${revision}::int AND e."n" = ${n}::int
      AND (${epoch} = '' OR NOT EXISTS (SELECT 1 FROM "ChangeLogEntry" c
        WHERE c."distributorId" = e."distributorId" AND c."revision" = e."revision" AND c."epoch"::text <> ${epoch}))`
  return found.length > 0
}
