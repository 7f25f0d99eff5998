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

/** Whether a reservation's time has run out by an instant; at the instant itself it has. */
export function hasRunOut({ expiresAt }: Pick<Reserved, 'expiresAt'>, at: Date): boolean {
  return expiresAt <= at
}

/** The same as a condition on rows: the `expiresAt` of those whose time has run out. */
export function runOut(at: Date): { lte: Date } {
  return { lte: at }
}

/** The `expiresAt` of those that still hold at an instant. */
export function stillHolding(at: Date): { gt: Date } {
  return { gt: at }
}

/** Those of them whose time has run out by an instant. */
export function lapsedBy(reserved: readonly Reserved[], at: Date): Reserved[] {
  return reserved.filter((each) => hasRunOut(each, at))
}
