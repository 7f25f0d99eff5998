// A reservation as the change log records it.
import type { TransactionClient } from '../../database/client.ts'
import { describeOrder } from '../orders/describe.ts'

/** A reservation with the order that holds its lines, by ids of the records. */
export type DescribedReservation = Awaited<ReturnType<typeof describeReservation>>

/** The reservation with the order that holds its lines, by ids of the records. */
export async function describeReservation(tx: TransactionClient, distributorId: string, id: string) {
  const { orderId, ...reservation } = await tx.reservation.findUniqueOrThrow({
    where: { distributorId_id: { distributorId, id } },
    omit: { distributorId: true, updatedAt: true },
  })
  return { ...reservation, order: await describeOrder(tx, distributorId, orderId) }
}
