// An order is withdrawn: its beer is free at once.
import { z } from 'zod'
import { changedRows } from '../../database/batched-statement.ts'
import type { MayRead } from '../access/may-read.ts'
import type { Command } from '../commands/command.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { type Reading, readInput } from '../read-input.ts'
import { orderRef } from '../thing-ref.ts'
import type { DescribedOrder } from './describe.ts'
import { dispatchedOf } from './dispatched.ts'
import { openOrder } from './open-order.ts'
import { type OrderAnswer, type OrderDecided, orderAnswer, orderDecided } from './order-answer.ts'
import { changeLines } from './replan.ts'

const shape = z.strictObject({
  order: orderRef,
  ifRevision: z.int().min(0).optional(),
  dryRun: z.boolean().default(false),
})

/** Cancels what is open of an order. Throws `InvalidInput`, `NotFound`, and `Conflict` where it is not open or some of it has left. */
export async function cancelOrder(actor: PlanningActor, input: unknown): Promise<OrderAnswer> {
  const read = readInput(shape, input)
  const { dryRun } = read.given
  return orderAnswer(await actor.executor.execute(actor, { command: cancelling(read, actor.mayRead), dryRun }), dryRun)
}

function cancelling(
  read: Reading<z.output<typeof shape>>,
  mayRead: MayRead | undefined,
): Command<DescribedOrder, OrderDecided> {
  const { given } = read
  return {
    prepare: async (context) => {
      const { refs } = context
      refs.take(read)
      const before = await openOrder(context, given.order, given.ifRevision, mayRead)
      for (const line of openLines(before)) refs.refuse('order', dispatchedOf(line, `Line ${line.lineNumber}`))
      refs.settle()
      if (!before) throw new Error('an order that is not there was cancelled')
      return before
    },
    decide: ({ snapshot, now }, before) => {
      const { distributorId } = snapshot
      const { id } = before
      const open = new Set(openLines(before).map((line) => line.id))
      const changed = changeLines(snapshot, { without: open, lines: [], accept: 'AS_DEMAND' })
      const withdrawn = { status: 'CANCELLED' as const, promisedOn: null }
      const ended = { status: 'CANCELLED' as const, cancelledAt: now }
      const lines = before.lines.map((line) => (open.has(line.id) ? { ...line, ...withdrawn } : line))
      return {
        changed,
        answer: orderDecided(snapshot, changed, id, 'UPDATED'),
        writes: [
          ...changedRows('Order', [{ distributorId, id, ...ended }]),
          ...changedRows(
            'OrderLine',
            [...open].map((lineId) => ({ distributorId, id: lineId, ...withdrawn })),
          ),
        ],
        entries: [['ORDER_CANCELLED', { type: 'Order', id }, before, { ...before, ...ended, lines }]],
      }
    },
  }
}

function openLines(order: DescribedOrder | undefined): DescribedOrder['lines'] {
  return order?.lines.filter(({ status }) => status === 'OPEN') ?? []
}
