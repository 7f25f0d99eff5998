// An order is withdrawn: its beer is free at once.
import { z } from 'zod'
import type { PlanningActor } from '../planning-actor.ts'
import { readInput } from '../read-input.ts'
import { orderRef } from '../thing-ref.ts'
import { dispatchedOf } from './dispatched.ts'
import { openOrder } from './open-order.ts'
import { changeLines } from './replan.ts'
import { type OrderAnswer, writeOrder } from './write-order.ts'

const shape = z.strictObject({
  order: orderRef,
  ifRevision: z.int().min(0).optional(),
  dryRun: z.boolean().default(false),
})

/** Cancels what is open of an order. Throws `InvalidInput`, `NotFound`, and `Conflict` where it is not open or some of it has left. */
export async function cancelOrder(actor: PlanningActor, input: unknown): Promise<OrderAnswer> {
  const reading = readInput(shape, input)
  const { given } = reading
  const { distributorId } = actor
  return writeOrder(actor, given, async (writing) => {
    const { tx, refs, snapshot, now } = writing
    refs.take(reading)
    const found = await openOrder(writing, given.order, given.ifRevision)
    const open = found?.before.lines.filter(({ status }) => status === 'OPEN') ?? []
    for (const line of open) refs.refuse('order', dispatchedOf(line, `Line ${line.lineNumber}`))
    refs.settle()
    if (!found) throw new Error('an order that is not there was cancelled')
    const { id, before } = found
    const changed = changeLines(snapshot, {
      without: new Set(open.map((line) => line.id)),
      lines: [],
      accept: 'AS_DEMAND',
    })
    await tx.orderLine.updateMany({
      where: { distributorId, orderId: id, status: 'OPEN' },
      data: { status: 'CANCELLED', promisedOn: null },
    })
    await tx.order.update({
      where: { distributorId_id: { distributorId, id } },
      data: { status: 'CANCELLED', cancelledAt: now },
    })
    return { id, event: 'ORDER_CANCELLED', before, changed }
  })
}
