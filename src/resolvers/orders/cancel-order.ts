// An order is withdrawn: its beer is free at once.
import { z } from 'zod'
import { Conflict } from '../../errors.ts'
import { parseInput } from '../parse-input.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { orderIdOf, orderRef } from '../thing-ref.ts'
import { refuseIfChanged } from './changed-since.ts'
import { describeOrder } from './describe.ts'
import { refuseIfDispatched } from './dispatched.ts'
import type { OrderWriting } from './order-writing.ts'
import { changeLines } from './replan.ts'
import { type OrderAnswer, writeOrder } from './write-order.ts'

const shape = z.strictObject({
  order: orderRef,
  ifRevision: z.int().min(0).optional(),
  dryRun: z.boolean().default(false),
})

/** Cancels what is open of an order. Throws `InvalidInput`, `NotFound`, and `Conflict` where it is not open or some of it has left. */
export async function cancelOrder(actor: PlanningActor, input: unknown): Promise<OrderAnswer> {
  const given = parseInput(shape, input)
  const { distributorId } = actor
  return writeOrder(actor, given, async (writing) => {
    const { tx, snapshot, now } = writing
    const id = await orderIdOf(tx, distributorId, given.order)
    await refuseUnlessOpen(writing, id)
    const before = await describeOrder(tx, distributorId, id)
    await refuseIfChanged(writing, id, given.ifRevision, before)
    const open = before.lines.filter(({ status }) => status === 'OPEN')
    for (const line of open) refuseIfDispatched(line, `Line ${line.lineNumber}`)
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

/** Throws `Conflict` where the order was delivered or cancelled. */
export async function refuseUnlessOpen({ tx, snapshot: { distributorId } }: OrderWriting, id: string): Promise<void> {
  const { status, number } = await tx.order.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id } } })
  if (status !== 'OPEN') throw new Conflict('STATUS_FORBIDS', `Order ${number} is ${status.toLowerCase()}.`)
}
