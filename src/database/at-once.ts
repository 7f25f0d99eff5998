// Several writes in one statement. Each statement costs a trip to the database, and its planning more than its running:
// what a reservation writes in nine tables is sent and planned as one, and the plan of it is kept.
import { Prisma, type TransactionClient } from './client.ts'
import { KEPT } from './kept-statements.ts'

/**
 * Runs statements that insert, update or delete as one. None sees what another does, so no two may touch the same row;
 * what refers to other rows is looked at when all is done.
 */
export async function writeAtOnce(tx: TransactionClient, parts: readonly Prisma.Sql[]): Promise<void> {
  if (parts.length === 0) return
  const named = parts.map((part, index) => Prisma.sql`${Prisma.raw(`"part${index}"`)} AS (${part} RETURNING 1)`)
  await tx.$executeRaw`${Prisma.raw(KEPT)} WITH ${Prisma.join(named)} SELECT 1`
}

/** Inserts rows of a model, which all have the same columns; each column of the table must be among them, or may be null. */
export function insertion(model: Prisma.ModelName, rows: readonly object[]): Prisma.Sql {
  const table = Prisma.raw(`"${model}"`)
  return Prisma.sql`INSERT INTO ${table}
    SELECT * FROM jsonb_populate_recordset(NULL::${table}, ${JSON.stringify(rows)}::jsonb)`
}
