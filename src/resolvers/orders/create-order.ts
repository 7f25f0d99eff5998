// The rows of a new order.
import type { Asked } from './asked-lines.ts'
import type { Changed } from './replan.ts'
import type { OrderWriting } from './write-order.ts'

export interface NewOrder {
  id: string
  externalRef?: string
  note?: string
  status: 'OPEN' | 'RESERVED'
}

/**
 * Writes an order with the next number, and its lines as they were placed, in one statement: the lock is held meanwhile.
 * Answers the order as the change log tells it.
 */
export async function createOrder(
  { tx, snapshot: { distributorId }, now }: OrderWriting,
  { id, externalRef, note, status }: NewOrder,
  { accountId, references }: Asked,
  changed: Changed,
): Promise<object> {
  const lines = changed.lines.map((line, index) => ({
    id: line.id,
    externalRef: references[index]?.externalRef ?? null,
    lineNumber: index + 1,
    packId: line.packId,
    quantity: line.quantity,
    serveOn: line.serveOn,
    latestServeOn: line.latestServeOn ?? null,
    promisedOn: line.promisedOn ?? null,
    priority: line.priority ?? 3,
    splittable: line.splittable ?? false,
    status,
    dispatched: 0,
    delivered: 0,
  }))
  const order = {
    id,
    externalRef: externalRef ?? null,
    accountId,
    status,
    placedAt: now,
    cancelledAt: null,
    note: note ?? null,
  }
  const row = JSON.stringify({ ...order, distributorId })
  const rows = JSON.stringify(lines.map((line) => ({ ...line, distributorId, orderId: id })))
  const [placed] = await tx.$queryRaw<{ number: number }[]>`
    WITH "placed" AS (
      INSERT INTO "Order" ("distributorId", "id", "externalRef", "number", "accountId", "status", "placedAt", "note")
      SELECT "distributorId", "id", "externalRef",
        (SELECT COALESCE(MAX("number"), 0) + 1 FROM "Order" WHERE "distributorId" = ${distributorId}),
        "accountId", "status", "placedAt", "note"
      FROM jsonb_populate_record(NULL::"Order", ${row}::jsonb)
      RETURNING "number"
    ), "lines" AS (
      INSERT INTO "OrderLine" SELECT * FROM jsonb_populate_recordset(NULL::"OrderLine", ${rows}::jsonb)
    )
    SELECT "number" FROM "placed"`
  if (!placed) throw new Error('the order was not written')
  return { ...order, number: placed.number, lines }
}
