// The start of a follower: every thing by kind and id, in pages that no change reorders, with the place in the change log at
// which the first page was read. What changes while the pages are read is in the feed behind that place.
import { z } from 'zod'
import { Prisma } from '../../database/client.ts'
import { inTransaction } from '../../database/transaction.ts'
import type { Actor } from '../actor.ts'
import { cutPage, type PageAsked } from './cut-page.ts'
import { logState, type Position } from './position.ts'

/** The kinds of things of a snapshot: what others refer to comes first. */
export const SNAPSHOT_KINDS = [
  'Site',
  'ContainerType',
  'Beer',
  'Pack',
  'Vessel',
  'Filler',
  'Fleet',
  'Store',
  'Route',
  'Account',
  'Batch',
  'StockLot',
  'Order',
  'Reservation',
  'Plan',
  'Fact',
] as const

export type SnapshotKind = (typeof SNAPSHOT_KINDS)[number]

/** A thing of a snapshot, by its kind's number in the list and its row. */
export interface SnapshotPlace {
  kind: number
  id: string
}

export interface SnapshotAsked extends PageAsked<SnapshotPlace & { since: Position }> {
  /** Absent: every kind that the key may read. */
  kinds?: readonly SnapshotKind[] | undefined
}

export interface SnapshotPage {
  things: (SnapshotPlace & { since: Position })[]
  hasNext: boolean
  hasPrevious: boolean
  /** Where in the change log to go on from once all pages are read. */
  since: Position
}

const rowsShape = z.array(z.object({ kind: z.number(), id: z.string() }))

/** A page of all things of the distributor. */
export function readSnapshot(actor: Actor, asked: SnapshotAsked): Promise<SnapshotPage> {
  const { client, distributorId } = actor
  const { after, before, count, fromEnd } = asked
  return inTransaction(
    client,
    async (tx) => {
      const since = (after ?? before)?.since ?? (await logState(tx, distributorId)).newest
      const branches = kindsOf(actor, asked.kinds).flatMap((kind) => branchOf(kind, asked, distributorId))
      const order = Prisma.raw(fromEnd ? '"kind" DESC, "id" DESC' : '"kind", "id"')
      const found =
        branches.length === 0
          ? []
          : rowsShape.parse(
              // A table of its own: where there is only one branch, its order would stand beside this one.
              await tx.$queryRaw`SELECT "kind", "id" FROM (${Prisma.join(branches, ' UNION ALL ')}) AS "thing"
              ORDER BY ${order} LIMIT ${count + 1}::int`,
            )
      const { rows, ...beside } = cutPage(found, asked)
      return { things: rows.map((thing) => ({ ...thing, since })), since, ...beside }
    },
    'RepeatableRead',
  )
}

/** How many things there are of these kinds. */
export async function countSnapshot(actor: Actor, kinds: readonly SnapshotKind[] | undefined): Promise<number> {
  const counts = kindsOf(actor, kinds).map(
    (kind) => Prisma.sql`(SELECT count(*)::int FROM ${tableOf(kind)} WHERE ${isIn(kind, actor.distributorId)})`,
  )
  if (counts.length === 0) return 0
  const rows = await actor.client.$queryRaw`SELECT ${Prisma.join(counts, ' + ')} AS "count"`
  return z.array(z.object({ count: z.number() })).parse(rows)[0]?.count ?? 0
}

/** The numbers of the kinds that are asked for and may be read. */
function kindsOf({ mayRead }: Actor, kinds: readonly SnapshotKind[] = SNAPSHOT_KINDS): number[] {
  return SNAPSHOT_KINDS.flatMap((kind, number) =>
    kinds.includes(kind) && (mayRead === undefined || mayRead(kind)) ? [number] : [],
  )
}

/** The rows of one kind that the page may have; nothing where none may be. */
function branchOf(kind: number, { after, before, count, fromEnd }: SnapshotAsked, distributorId: string): Prisma.Sql[] {
  if ((after && kind < after.kind) || (before && kind > before.kind)) return []
  const conditions = [
    isIn(kind, distributorId),
    ...(after?.kind === kind ? [Prisma.sql`"id" > ${after.id}`] : []),
    ...(before?.kind === kind ? [Prisma.sql`"id" < ${before.id}`] : []),
  ]
  const order = Prisma.raw(fromEnd ? '"id" DESC' : '"id"')
  return [
    Prisma.sql`(SELECT ${kind}::int AS "kind", "id" FROM ${tableOf(kind)}
      WHERE ${Prisma.join(conditions, ' AND ')} ORDER BY ${order} LIMIT ${count + 1}::int)`,
  ]
}

function tableOf(kind: number): Prisma.Sql {
  return Prisma.raw(`"${SNAPSHOT_KINDS[kind]}"`)
}

/** Whether a row is a thing of the snapshot: what is only reserved, or was, is no order yet. */
function isIn(kind: number, distributorId: string): Prisma.Sql {
  return SNAPSHOT_KINDS[kind] === 'Order'
    ? Prisma.sql`"distributorId" = ${distributorId} AND "status" NOT IN ('RESERVED', 'LAPSED')`
    : Prisma.sql`"distributorId" = ${distributorId}`
}
