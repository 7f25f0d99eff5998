// A reservation ends without an order: its lines are wanted no more.
import { Prisma } from '../../database/client.ts'
import type { Reserved } from '../../records/reserved.ts'
import type { DescribedReservation } from './describe.ts'

/**
 * What writes, at once, that reservations ended at an instant, or when their time ran out where none is given; and that the
 * orders that held their lines lapsed. They still say what was promised.
 */
export function endings(
  distributorId: string,
  ended: readonly Pick<Reserved, 'reservationId' | 'orderId'>[],
  status: 'RELEASED' | 'EXPIRED',
  at?: Date,
): Prisma.Sql[] {
  const ids = ended.map(({ reservationId }) => reservationId)
  const orderIds = ended.map(({ orderId }) => orderId)
  return [
    Prisma.sql`UPDATE "OrderLine" SET "status" = 'LAPSED'
      WHERE "distributorId" = ${distributorId} AND "orderId" = ANY(${orderIds}::text[])`,
    Prisma.sql`UPDATE "Order" SET "status" = 'LAPSED'
      WHERE "distributorId" = ${distributorId} AND "id" = ANY(${orderIds}::text[])`,
    Prisma.sql`UPDATE "Reservation" SET "status" = ${status}::"ReservationStatus",
        "endedAt" = coalesce(${at?.toISOString() ?? null}::timestamptz, "expiresAt")
      WHERE "distributorId" = ${distributorId} AND "id" = ANY(${ids}::text[])`,
  ]
}

/** A reservation as the change log records it once it has ended so. */
export function endedAs(
  before: DescribedReservation,
  status: 'RELEASED' | 'EXPIRED',
  endedAt: Date,
): DescribedReservation {
  const { order } = before
  const lines = order.lines.map((line) => ({ ...line, status: 'LAPSED' as const }))
  return { ...before, status, endedAt, order: { ...order, status: 'LAPSED', lines } }
}
