// Places in the change log, by which followers go on: where the log stands, and whether a place is still one of it.
import { z } from 'zod'
import { Prisma, type TransactionClient } from '../../database/client.ts'
import { Conflict } from '../../errors.ts'

/** The place behind one entry of the log, with the epoch of its commit; or before all that are kept (`startAt`). */
export interface Position {
  revision: number
  n: number
  epoch: string
}

/** Before all changes behind a revision. */
export function startAt(revision: number): Position {
  return { revision, n: 0, epoch: '' }
}

const stateShape = z.array(
  z.object({ changesFrom: z.number(), revision: z.number(), n: z.number().nullable(), epoch: z.string().nullable() }),
)

/** What a log has. */
export interface LogState {
  /** Revision up to which it was thinned out. */
  changesFrom: number
  /** The place behind its newest entry. */
  newest: Position
}

/** How far the log of a distributor goes. */
export async function logState(tx: TransactionClient, distributorId: string): Promise<LogState> {
  const [row] = stateShape.parse(
    await tx.$queryRaw`
    SELECT d."changesFrom", coalesce(e."revision", 0) AS "revision", e."n", e."epoch"::text
    FROM "Distributor" d LEFT JOIN LATERAL (
      SELECT "revision", "n", "epoch" FROM "ChangeLogEntry"
      WHERE "distributorId" = d."id" ORDER BY "revision" DESC, "n" DESC LIMIT 1
    ) e ON true
    WHERE d."id" = ${distributorId}`,
  )
  if (!row || row.n === null || row.epoch === null) return { changesFrom: row?.changesFrom ?? 0, newest: startAt(0) }
  const { revision, n, epoch, changesFrom } = row
  return { changesFrom, newest: { revision, n, epoch } }
}

/** Throws `Conflict` where the log does not have all that followed the place: too old, or of commits that were lost. */
export async function requirePlace(
  tx: TransactionClient,
  distributorId: string,
  { changesFrom, newest }: LogState,
  { revision, n, epoch }: Position,
): Promise<void> {
  const isAt = (place: Position) => revision === place.revision && n === place.n && epoch === place.epoch
  if (isAt(newest) || isAt(startAt(changesFrom))) return
  if (revision <= changesFrom) throw new Conflict('CURSOR_TOO_OLD')
  const found = await tx.$queryRaw<object[]>`
    SELECT 1 FROM "ChangeLogEntry"
    WHERE "distributorId" = ${distributorId} AND "revision" = ${revision}::int AND "n" = ${n}::int AND "epoch"::text = ${epoch}`
  if (found.length === 0) throw new Conflict('CURSOR_LOST')
}

/** The condition of entries behind a place. */
export function behind({ revision, n }: Position): Prisma.Sql {
  return Prisma.sql`("revision", "n") > (${revision}::int, ${n}::int)`
}

/** The condition of entries before the one that a place is behind. */
export function before({ revision, n }: Position): Prisma.Sql {
  return Prisma.sql`("revision", "n") < (${revision}::int, ${n}::int)`
}
