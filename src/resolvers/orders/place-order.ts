// A new order: its lines are placed in the plan in force, or its reservation is confirmed; what was accepted is promised.
import { z } from 'zod'
import { type Issue, issue } from '../../errors.ts'
import type { MayRead } from '../access/may-read.ts'
import type { Actor } from '../actor.ts'
import type { Command, ReadContext } from '../commands/command.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { type Reading, readInput } from '../read-input.ts'
import { confirmed } from '../reservations/confirm.ts'
import type { DescribedReservation } from '../reservations/describe.ts'
import { activeReservation } from '../reservations/find.ts'
import { externalRef } from '../setup/shapes.ts'
import { findThing, type ThingRef, thingRef } from '../thing-ref.ts'
import { type Asked, askedFaults, askedFor, askedLines } from './asked-lines.ts'
import { newOrder } from './create-order.ts'
import { type OrderAnswer, type OrderDecided, orderAnswer, orderDecided } from './order-answer.ts'
import { orderDiffers, takenUpDiffers } from './order-differs.ts'
import { changeLines } from './replan.ts'
import { accept, note, WAYS_TO_ACCEPT } from './shapes.ts'
import { becoming, type Decide, leftAsItIs, prepared } from './upsert-order.ts'

const shape = z.strictObject({
  ...askedFor,
  reservation: thingRef.optional(),
  externalRef,
  note: note.optional(),
  accept: accept.optional(),
  dryRun: z.boolean().default(false),
  upsert: z.boolean().default(false),
})

type Given = z.output<typeof shape>

/**
 * Places an order whole or not at all; with `upsert`, an order that has its reference becomes what is sent, or stays where it is
 * so. Throws `InvalidInput`, `NotFound`, `Conflict`, and `NotPossible` with what binds where it cannot be served as `accept` or
 * the offer asks.
 */
export async function placeOrder(actor: PlanningActor, input: unknown): Promise<OrderAnswer> {
  const { command, dryRun } = orderCommand(actor, input)
  return orderAnswer(await actor.executor.execute(actor, { command, dryRun }), dryRun)
}

/** The command that an input asks for. Throws `InvalidInput` where nothing of it can be read. */
export function orderCommand(
  { mayRead }: Actor,
  input: unknown,
): { command: Command<Decide<OrderDecided>, OrderDecided>; dryRun: boolean } {
  const read = readInput(shape, input)
  const { dryRun, upsert } = read.given
  const prepare = async (context: ReadContext) =>
    (upsert ? await amendmentOf(context, read, mayRead) : undefined) ?? placement(context, read)
  return { command: { prepare, decide: (records, decide) => decide(records) }, dryRun }
}

/** A new order, of a reservation or of lines that are placed. */
function placement(context: ReadContext, read: Reading<Given>): Promise<Decide<OrderDecided>> {
  const { reservation } = read.given
  return reservation === undefined ? prepared(placing(read), context) : prepared(confirming(read, reservation), context)
}

/** The order that has a reference. */
async function holderOf({ client, snapshot }: ReadContext, externalRef: string | undefined) {
  return externalRef === undefined ? undefined : findThing(client, snapshot.distributorId, 'Order', { externalRef })
}

/** What becomes of the order that has the reference already; undefined where none has, or it cannot become what is sent. */
async function amendmentOf(
  context: ReadContext,
  { given, issues }: Reading<Given>,
  mayRead: MayRead | undefined,
): Promise<Decide<OrderDecided> | undefined> {
  if (issues.length > 0 || faults(given).length > 0) return undefined
  const holder = await holderOf(context, given.externalRef)
  if (!holder) return undefined
  if (given.reservation === undefined && given.offerToken === undefined)
    return askedFaults(given).length > 0 ? undefined : becoming(context, holder.id, given, mayRead)
  context.dependOn(holder.id)
  const differs = await takenUpDiffers(context, holder.id, given)
  return differs?.length === 0 ? () => leftAsItIs(holder.id) : undefined
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
        answer: orderDecided(snapshot, changed, id, 'CREATED'),
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
  const { externalRef, upsert, reservation, offerToken } = read.given
  if (upsert && externalRef === undefined)
    refs.note(issue('externalRef', 'MISSING_VALUE', 'give the reference that the order has, or is to get'))
  const isOfOwnLines = reservation === undefined && offerToken === undefined
  // What stands in for what could not be read is no order to compare with; an order that is to be changed may differ.
  if (isOfOwnLines && upsert) return (await holderOf(context, externalRef)) === undefined
  const differs = isOfOwnLines ? orderDiffers : takenUpDiffers
  const compare = read.issues.length === 0 ? (id: string) => differs(context, id, read.given) : undefined
  const isFree = await refs.free('Order', externalRef, 'externalRef', undefined, compare)
  return isFree || !isOfOwnLines || compare === undefined
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
