// A batched statement: several writes as one. Each statement costs a round trip to the database, and planning it costs more
// than running it: what a reservation writes in nine tables is sent and planned as one, and its query plan is kept.
import { Prisma, type TransactionClient } from './client.ts'
import { KEPT } from './kept-statements.ts'

/** Rows to insert. Columns of the table that no row of the model names take their defaults; others may be null in some. */
export interface Insertion {
  model: Prisma.ModelName
  rows: readonly object[]
}

/** A statement that inserts, updates or deletes, or rows to insert. */
export type Write = Prisma.Sql | Insertion

/** A row that is there, by its key, with new values of some of its columns. */
interface ChangedRow {
  distributorId: string
  id: string
}

/** The write that gives rows of a model new values; all rows name the same columns. Nothing where there are no rows. */
export function changedRows<Row extends ChangedRow>(model: Prisma.ModelName, rows: readonly Row[]): Prisma.Sql[] {
  const columns = Object.keys(rows[0] ?? {}).filter((column) => column !== 'distributorId' && column !== 'id')
  if (columns.length === 0) return []
  const table = Prisma.raw(`"${model}"`)
  const set = columns.map((column) => Prisma.raw(`"${column}" = "new"."${column}"`))
  return [
    Prisma.sql`UPDATE ${table} AS "old" SET ${Prisma.join(set)}
      FROM jsonb_populate_recordset(NULL::${table}, ${JSON.stringify(rows)}::jsonb) AS "new"
      WHERE "old"."distributorId" = "new"."distributorId" AND "old"."id" = "new"."id"`,
  ]
}

/**
 * Runs several writes as one statement. No write sees the effect of another, so no two may touch the same row; the database
 * checks foreign keys after all of them.
 */
export async function runBatchedStatement(tx: TransactionClient, writes: readonly Write[]): Promise<void> {
  const rows = new Map<Prisma.ModelName, object[]>()
  for (const write of writes)
    if (!isStatement(write) && write.rows.length > 0)
      rows.set(write.model, [...(rows.get(write.model) ?? []), ...write.rows])
  const parts = [...[...rows].map(insertion), ...writes.filter(isStatement)]
  if (parts.length === 0) return
  const named = parts.map((part, index) => Prisma.sql`${Prisma.raw(`"part${index}"`)} AS (${part} RETURNING 1)`)
  await tx.$executeRaw`${Prisma.raw(KEPT)} WITH ${Prisma.join(named)} SELECT 1`
}

function isStatement(write: Write): write is Prisma.Sql {
  return 'sql' in write
}

function insertion([model, rows]: [Prisma.ModelName, object[]]): Prisma.Sql {
  const table = Prisma.raw(`"${model}"`)
  // Named, so that a server goes on that is older than a column which a newer one has added.
  const names = new Set(rows.flatMap((row) => Object.keys(row)))
  const columns = Prisma.join([...names].map((column) => Prisma.raw(`"${column}"`)))
  return Prisma.sql`INSERT INTO ${table} (${columns})
    SELECT ${columns} FROM jsonb_populate_recordset(NULL::${table}, ${JSON.stringify(rows)}::jsonb)`
}
