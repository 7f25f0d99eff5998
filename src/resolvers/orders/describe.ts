// An order as the change log records it.
import { dayOf } from '../../database/calendar-day.ts'
import type { TransactionClient } from '../../database/client.ts'

/** An order with its lines, by ids of the records. */
export type DescribedOrder = Awaited<ReturnType<typeof describeOrder>>

/** The order with its lines, by ids of the records. */
export async function describeOrder(tx: TransactionClient, distributorId: string, id: string) {
  const { lines, ...order } = await tx.order.findUniqueOrThrow({
    where: { distributorId_id: { distributorId, id } },
    omit: { distributorId: true, updatedAt: true },
    include: { lines: { omit: { distributorId: true, orderId: true }, orderBy: { lineNumber: 'asc' } } },
  })
  return {
    ...order,
    lines: lines.map((line) => ({
      ...line,
      serveOn: dayOf(line.serveOn),
      latestServeOn: line.latestServeOn && dayOf(line.latestServeOn),
      promisedOn: line.promisedOn && dayOf(line.promisedOn),
    })),
  }
}
