// The least that a write can be: one transaction that locks the distributor's row and inserts two rows. What a
// reservation costs is shown beside it.
import { randomUUID } from 'node:crypto'
import type { Database } from '../../src/database/open-database.ts'

/** Rows that it wrote have this note. */
const NOTE = 'bare transaction'

export interface BareTransaction {
  /** By the driver's own statements: begin, lock, insert, insert, commit. */
  byDriver(): Promise<void>
  /** The same through the client that the program uses everywhere. */
  byClient(): Promise<void>
  /** Deletes what it wrote. */
  undo(): Promise<void>
}

/** Writes orders of the first account and pack of a distributor, in `pool` or through `client`. */
export async function bareTransaction({ client, pool }: Database, distributorId: string): Promise<BareTransaction> {
  const where = { distributorId }
  const { id: accountId } = await client.account.findFirstOrThrow({ where })
  const { id: packId } = await client.pack.findFirstOrThrow({ where })
  // Numbers that no order of the program has; they are gone when the stretch is over.
  let number = 1_500_000_000
  const on = new Date('2000-01-01')
  return {
    byDriver: async () => {
      const connection = await pool.connect()
      try {
        const id = randomUUID()
        await connection.query('BEGIN')
        await connection.query('SELECT "revision" FROM "Distributor" WHERE "id" = $1 FOR UPDATE', [distributorId])
        await connection.query(
          `INSERT INTO "Order" ("distributorId", "id", "number", "accountId", "status", "placedAt", "note")
           VALUES ($1, $2, $3, $4, 'DELIVERED', $5, $6)`,
          [distributorId, id, number++, accountId, on, NOTE],
        )
        await connection.query(
          `INSERT INTO "OrderLine" ("distributorId", "id", "orderId", "lineNumber", "packId", "quantity", "serveOn", "status")
           VALUES ($1, $2, $3, 1, $4, 1, $5, 'DELIVERED')`,
          [distributorId, randomUUID(), id, packId, on],
        )
        await connection.query('COMMIT')
      } finally {
        connection.release()
      }
    },
    byClient: () =>
      client.$transaction(async (tx) => {
        const id = randomUUID()
        await tx.$queryRaw`SELECT "revision" FROM "Distributor" WHERE "id" = ${distributorId} FOR UPDATE`
        await tx.order.createMany({
          data: [{ distributorId, id, number: number++, accountId, status: 'DELIVERED', placedAt: on, note: NOTE }],
        })
        await tx.orderLine.createMany({
          data: [{ distributorId, orderId: id, lineNumber: 1, packId, quantity: 1, serveOn: on, status: 'DELIVERED' }],
        })
      }),
    undo: async () => {
      await client.orderLine.deleteMany({ where: { distributorId, order: { note: NOTE } } })
      await client.order.deleteMany({ where: { distributorId, note: NOTE } })
    },
  }
}
