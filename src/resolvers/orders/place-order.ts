// A new order: its lines are placed in the plan in force, or its reservation is confirmed; what was accepted is promised.
import { z } from 'zod'
import { type Issue, issue } from '../../errors.ts'
import type { Command, ReadContext } from '../commands/command.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { type Reading, readInput } from '../read-input.ts'
import { confirmed } from '../reservations/confirm.ts'
import type { DescribedReservation } from '../reservations/describe.ts'
import { activeReservation } from '../reservations/find.ts'
import { externalRef } from '../setup/shapes.ts'
import { type ThingRef, thingRef } from '../thing-ref.ts'
import { type Asked, askedFor, askedLines } from './asked-lines.ts'
import { newOrder } from './create-order.ts'
import { type OrderAnswer, type OrderDecided, orderAnswer, orderDecided } from './order-answer.ts'
import { orderDiffers } from './order-differs.ts'
import { changeLines } from './replan.ts'
import { accept, note, WAYS_TO_ACCEPT } from './shapes.ts'

const shape = z.strictObject({
  ...askedFor,
  reservation: thingRef.optional(),
  externalRef,
  note: note.optional(),
  accept: accept.optional(),
  dryRun: z.boolean().default(false),
})

type Given = z.output<typeof shape>

/**
 * Places an order whole or not at all. Throws `InvalidInput`, `NotFound`, `Conflict`, and `NotPossible` with what binds
 * where it cannot be served as `accept` or the offer asks.
 */
export async function placeOrder(actor: PlanningActor, input: unknown): Promise<OrderAnswer> {
  const read = readInput(shape, input)
  const { reservation, dryRun } = read.given
  const committed = await (reservation === undefined
    ? actor.executor.execute(actor, { command: placing(read), dryRun })
    : actor.executor.execute(actor, { command: confirming(read, reservation), dryRun }))
  return orderAnswer(committed, dryRun)
}

/** A new order. */
function placing(read: Reading<Given>): Command<Asked, OrderDecided> {
  const { given } = read
  return {
    prepare: async (context) => {
      const isNew = await judge(context, read)
      return askedLines(context, given, !isNew)
    },
    decide: (records, asked) => {
      const { snapshot } = records
      const { orderId: id, lines, refusal } = asked
      const changed = changeLines(snapshot, {
        ...{ without: new Set<string>(), lines, refusal },
        accept: given.accept ?? 'ON_TIME_ONLY',
      })
      const { externalRef, note } = given
      const { order, writes } = newOrder(records, { id, externalRef, note, status: 'OPEN' }, asked, changed)
      return {
        ...{ writes, changed, placed: true },
        answer: orderDecided(snapshot, changed, id),
        entries: [['ORDER_PLACED', { type: 'Order', id }, undefined, order]],
      }
    },
  }
}

/** An order that a reservation becomes. */
function confirming(read: Reading<Given>, ref: ThingRef): Command<DescribedReservation, OrderDecided> {
  return {
    prepare: async (context) => {
      await judge(context, read)
      return activeReservation(context, ref)
    },
    decide: (records, reservation) => confirmed(records, reservation, read.given),
  }
}

/** Notes what is wrong with the input as a whole. Answers whether its lines are new, too: not where an order has its reference. */
async function judge(context: ReadContext, read: Reading<Given>): Promise<boolean> {
  const { refs } = context
  refs.take(read)
  refs.note(...faults(read.given))
  const { externalRef, reservation, offerToken } = read.given
  const isOfOwnLines = reservation === undefined && offerToken === undefined && read.issues.length === 0
  const compare = isOfOwnLines ? (id: string) => orderDiffers(context, id, read.given) : undefined
  const isFree = await refs.free('Order', externalRef, 'externalRef', undefined, compare)
  return isFree || compare === undefined
}

/** What is wrong with what is named together, beside what is asked for (`askedFaults`). */
function faults(given: Given): Issue[] {
  const settled = given.reservation === undefined ? given.offerToken && 'the offer' : 'the reservation'
  const acceptance =
    settled && given.accept !== undefined ? [issue('accept', 'NOT_BOTH', `${settled} says it already`)] : []
  if (given.reservation === undefined)
    return [
      ...acceptance,
      ...(settled || given.accept !== undefined
        ? []
        : [issue('accept', 'MISSING_VALUE', `say what you accept with the order: ${WAYS_TO_ACCEPT}`)]),
    ]
  return [
    ...(['offerToken', 'account', 'serveOn', 'lines'] as const).flatMap((key) =>
      given[key] === undefined ? [] : [issue(key, 'NOT_BOTH', 'the reservation says it already')],
    ),
    ...acceptance,
  ]
}
