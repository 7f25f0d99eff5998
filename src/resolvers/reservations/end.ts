// A reservation ends without an order: its lines are wanted no more.
import type { TransactionClient } from '../../database/client.ts'

/** Writes that reservations ended at an instant, and that the orders that held their lines lapsed; they still tell what was promised. */
export async function endReservations(
  tx: TransactionClient,
  distributorId: string,
  ids: string[],
  status: 'RELEASED' | 'EXPIRED',
  at: Date,
): Promise<void> {
  const rows = await tx.reservation.findMany({
    where: { distributorId, id: { in: ids } },
    select: { orderId: true },
  })
  const orderId = { in: rows.map((row) => row.orderId) }
  await tx.orderLine.updateMany({ where: { distributorId, orderId }, data: { status: 'LAPSED' } })
  await tx.order.updateMany({ where: { distributorId, id: orderId }, data: { status: 'LAPSED' } })
  await tx.reservation.updateMany({ where: { distributorId, id: { in: ids } }, data: { status, endedAt: at } })
}
