// The rows of a new order.

import type { Asked } from './asked-lines.ts'
import { createLines } from './new-lines.ts'
import type { Changed } from './replan.ts'
import type { OrderWriting } from './write-order.ts'

export interface NewOrder {
  id: string
  externalRef?: string
  note?: string
  status: 'OPEN' | 'RESERVED'
}

/** Writes an order with the next number, and its lines as they were placed. */
export async function createOrder(
  writing: OrderWriting,
  { id, externalRef, note, status }: NewOrder,
  { accountId, references }: Asked,
  { lines }: Changed,
): Promise<void> {
  const { tx, snapshot, now } = writing
  const { distributorId } = snapshot
  const { _max: last } = await tx.order.aggregate({ where: { distributorId }, _max: { number: true } })
  await tx.order.create({
    data: {
      distributorId,
      id,
      externalRef: externalRef ?? null,
      number: (last.number ?? 0) + 1,
      accountId,
      placedAt: now,
      note: note ?? null,
      status,
    },
  })
  await createLines(writing, lines, references, 1, status)
}
