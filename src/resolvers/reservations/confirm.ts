// A reservation becomes an order: it keeps the place that it has in the plan in force.

import type { OrderWriting } from '../orders/order-writing.ts'
import type { OrderWritten } from '../orders/write-order.ts'
import type { ThingRef } from '../thing-ref.ts'
import { describeReservation } from './describe.ts'
import { activeReservation } from './find.ts'

/** Opens the order of a reservation that holds. Throws `NotFound`, and `Conflict` where it holds no more. */
export async function confirmReservation(
  writing: OrderWriting,
  ref: ThingRef,
  { externalRef, note }: { externalRef?: string; note?: string },
): Promise<OrderWritten> {
  const { tx, log, snapshot, now } = writing
  const { distributorId, reserved } = snapshot
  const { id, orderId } = await activeReservation(writing, ref)
  const before = await describeReservation(tx, distributorId, id)
  await tx.orderLine.updateMany({ where: { distributorId, orderId, status: 'RESERVED' }, data: { status: 'OPEN' } })
  await tx.order.update({
    where: { distributorId_id: { distributorId, id: orderId } },
    data: { status: 'OPEN', placedAt: now, externalRef, note },
  })
  await tx.reservation.update({
    where: { distributorId_id: { distributorId, id } },
    data: { status: 'CONFIRMED', endedAt: now },
  })
  const after = await describeReservation(tx, distributorId, id)
  log('RESERVATION_CONFIRMED', { type: 'Reservation', id }, before, after)
  return { id: orderId, event: 'ORDER_PLACED', reserved: reserved.filter((each) => each.reservationId !== id) }
}
