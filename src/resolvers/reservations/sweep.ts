// Reservations whose time has run out leave the records: no job has to run for it, the next write does it.
import { runBatchedStatement } from '../../database/batched-statement.ts'
import type { TransactionClient } from '../../database/client.ts'
import type { Log } from '../../database/distributor-lock.ts'
import { lapsedBy } from '../../records/reserved.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import { planWrites } from '../commands/plan-writes.ts'
import { changeLines, snapshotAfter } from '../orders/replan.ts'
import { describeReservation } from './describe.ts'
import { endedAs, endings } from './end.ts'

/**
 * Takes the lines of reservations that have run out by `at` out of the plan in force, and writes that they have. The
 * caller holds the lock and the snapshot of its revision. Answers the records as they are after it; nothing is kept in
 * memory before the caller has committed.
 */
export async function sweepLapsed(tx: TransactionClient, log: Log, snapshot: Snapshot, at: Date): Promise<Snapshot> {
  const { distributorId, problem, reserved } = snapshot
  const lapsed = lapsedBy(reserved, at)
  if (lapsed.length === 0) return snapshot
  const orderIds = new Set(lapsed.map(({ orderId }) => orderId))
  const lineIds = new Set(problem.orderLines.filter(({ orderId }) => orderIds.has(orderId)).map(({ id }) => id))
  const changed = changeLines(snapshot, { without: lineIds, lines: [], accept: 'AS_DEMAND' })
  for (const { reservationId, expiresAt } of lapsed) {
    const before = await describeReservation(tx, distributorId, reservationId)
    log(
      'RESERVATION_EXPIRED',
      { type: 'Reservation', id: reservationId },
      before,
      endedAs(before, 'EXPIRED', expiresAt),
    )
  }
  await runBatchedStatement(tx, [
    ...(await planWrites(tx, snapshot, changed.proposal ? [changed.proposal.delta] : [])),
    ...endings(distributorId, lapsed, 'EXPIRED'),
  ])
  return {
    ...snapshotAfter(snapshot, changed, snapshot.revision),
    reserved: reserved.filter(({ orderId }) => !orderIds.has(orderId)),
  }
}
