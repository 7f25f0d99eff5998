// The reservations that hold beer, and until when.
import type { TransactionClient } from '../database/client.ts'

/** A reservation that was neither confirmed nor given back. */
export interface Reserved {
  reservationId: string
  /** The order that holds its lines. */
  orderId: string
  /** The instant from which it no longer holds its beer. */
  expiresAt: Date
}

/** The reservations that the rows call active, those that run out first at the front. */
export async function readReserved(tx: TransactionClient, distributorId: string): Promise<Reserved[]> {
  const rows = await tx.reservation.findMany({
    where: { distributorId, status: 'ACTIVE' },
    select: { id: true, orderId: true, expiresAt: true },
    orderBy: [{ expiresAt: 'asc' }, { id: 'asc' }],
  })
  return rows.map(({ id, orderId, expiresAt }) => ({ reservationId: id, orderId, expiresAt }))
}

/** Those of them whose time has run out by an instant. */
export function lapsedBy(reserved: readonly Reserved[], at: Date): Reserved[] {
  return reserved.filter(({ expiresAt }) => expiresAt <= at)
}
