// The change feed: pages of the log of commits, in their order, without a gap, of what the caller's key may read.
import { z } from 'zod'
import { ALL_CHANGE_KINDS, type ChangeKind } from '../../database/change-kinds.ts'
import { Prisma, type TransactionClient } from '../../database/client.ts'
import { inTransaction } from '../../database/transaction.ts'
import { readableKinds } from '../access/may-read.ts'
import type { Actor } from '../actor.ts'
import { cutPage, type PageAsked } from './cut-page.ts'
import { before, behind, logState, type Position, requirePlace, startAt } from './position.ts'

/** Which changes. */
export interface ChangesAsked extends PageAsked<Position> {
  /** Absent: of every kind. */
  kinds?: readonly ChangeKind[] | undefined
}

const rowsShape = z.array(
  z.object({
    revision: z.number(),
    n: z.number(),
    epoch: z.string(),
    kind: z.enum(ALL_CHANGE_KINDS),
    entityType: z.string(),
    entityId: z.string(),
    externalRef: z.string().nullable(),
    isNew: z.boolean(),
    keyId: z.string().nullable(),
    at: z.date(),
  }),
)

/** One change, as followers see it. */
export type Change = z.output<typeof rowsShape>[number]

export interface ChangesPage {
  changes: Change[]
  hasNext: boolean
  hasPrevious: boolean
  /** Up to where the log was looked through; where there is more, the place behind the page's last change. */
  position: Position
}

/**
 * A page of changes. What commits meanwhile is behind it. Throws `Conflict` (CURSOR_TOO_OLD, CURSOR_LOST) where a place is none of
 * the log any more.
 */
export function readChanges(actor: Actor, asked: ChangesAsked): Promise<ChangesPage> {
  const { client, distributorId } = actor
  // One picture of the log: it may be thinned out meanwhile.
  return inTransaction(
    client,
    async (tx) => {
      const state = await logState(tx, distributorId)
      for (const place of [asked.after, asked.before]) if (place) await requirePlace(tx, distributorId, state, place)
      const conditions = [
        mine(actor, asked.kinds, state.changesFrom),
        ...(asked.after ? [behind(asked.after)] : []),
        ...(asked.before ? [before(asked.before)] : []),
      ]
      const { rows: changes, hasNext, hasPrevious } = cutPage(await readRows(tx, conditions, asked), asked)
      return {
        ...{ changes, hasNext, hasPrevious },
        position: hasNext ? (changes.at(-1) ?? asked.after ?? startAt(state.changesFrom)) : state.newest,
      }
    },
    'RepeatableRead',
  )
}

/** How many changes of these kinds there are. */
export async function countChanges(actor: Actor, kinds: readonly ChangeKind[] | undefined): Promise<number> {
  const { changesFrom } = await logState(actor.client, actor.distributorId)
  const rows = await actor.client.$queryRaw`
    SELECT count(*)::int AS "count" FROM "ChangeLogEntry" WHERE ${mine(actor, kinds, changesFrom)}`
  return z.array(z.object({ count: z.number() })).parse(rows)[0]?.count ?? 0
}

/** The condition of the entries that the caller's feed has. */
function mine({ distributorId, mayRead }: Actor, kinds: readonly ChangeKind[] | undefined, from: number): Prisma.Sql {
  return Prisma.sql`"distributorId" = ${distributorId} AND "revision" > ${from}::int
    AND "kind" = ANY(${[...(kinds ?? ALL_CHANGE_KINDS)]}) AND "entityType" = ANY(${readableKinds(mayRead)})`
}

async function readRows(
  tx: TransactionClient,
  conditions: readonly Prisma.Sql[],
  { count, fromEnd }: ChangesAsked,
): Promise<Change[]> {
  const order = Prisma.raw(fromEnd ? '"revision" DESC, "n" DESC' : '"revision", "n"')
  return rowsShape.parse(
    await tx.$queryRaw`
    SELECT "revision", "n", "epoch"::text, "kind", "entityType", "entityId", "keyId", "at", "before" IS NULL AS "isNew",
      coalesce("after" ->> 'externalRef', "before" ->> 'externalRef') AS "externalRef"
    FROM "ChangeLogEntry" WHERE ${Prisma.join([...conditions], ' AND ')} ORDER BY ${order} LIMIT ${count + 1}::int`,
  )
}
