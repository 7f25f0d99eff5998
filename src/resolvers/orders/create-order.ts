// The rows of a new order.
import type { Write } from '../../database/batched-statement.ts'
import type { Records } from '../commands/command.ts'
import type { Asked } from './asked-lines.ts'
import type { Changed } from './replan.ts'

export interface NewOrder {
  id: string
  externalRef?: string
  note?: string
  status: 'OPEN' | 'RESERVED'
}

/** The rows of a new order with the next number and of its lines as they were placed, and the order as the change log records it. */
export function newOrder(
  { snapshot: { distributorId, lastOrder }, now }: Records,
  { id, externalRef, note, status }: NewOrder,
  { accountId, references }: Asked,
  changed: Changed,
): { order: object; writes: Write[] } {
  const lines = changed.lines.map((line, index) => ({
    id: line.id,
    externalRef: references[index]?.externalRef ?? null,
    lineNumber: index + 1,
    packId: line.packId,
    quantity: line.quantity,
    serveOn: line.serveOn,
    latestServeOn: line.latestServeOn ?? null,
    promisedOn: line.promisedOn ?? null,
    priority: line.priority,
    splittable: line.splittable,
    placedAt: line.placedAt === undefined ? null : new Date(line.placedAt),
    status,
    dispatched: 0,
    closedShort: 0,
    onRoad: 0,
    delivered: 0,
  }))
  const order = {
    id,
    externalRef: externalRef ?? null,
    number: lastOrder + 1,
    accountId,
    status,
    placedAt: now,
    cancelledAt: null,
    note: note ?? null,
  }
  return {
    order: { ...order, lines },
    writes: [
      { model: 'Order', rows: [{ ...order, distributorId }] },
      { model: 'OrderLine', rows: lines.map((line) => ({ ...line, distributorId, orderId: id })) },
    ],
  }
}
