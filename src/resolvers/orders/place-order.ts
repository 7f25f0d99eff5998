// A new order: its lines are placed in the plan in force, or its reservation is confirmed; what was accepted is promised.
import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import { type Issue, issue } from '../../errors.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { readInput } from '../read-input.ts'
import { confirmReservation } from '../reservations/confirm.ts'
import { externalRef } from '../setup/shapes.ts'
import { thingRef } from '../thing-ref.ts'
import { askedFor, askedLines } from './asked-lines.ts'
import { createOrder } from './create-order.ts'
import { changeLines } from './replan.ts'
import { accept, note, WAYS_TO_ACCEPT } from './shapes.ts'
import { type OrderAnswer, writeOrder } from './write-order.ts'

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
  const reading = readInput(shape, input)
  const { given } = reading
  const { reservation } = given
  return writeOrder(actor, { dryRun: given.dryRun, together: reservation === undefined }, async (writing) => {
    const { refs } = writing
    refs.take(reading)
    refs.note(...faults(given))
    await refs.free('Order', given.externalRef, 'externalRef')
    if (reservation !== undefined) return confirmReservation(writing, reservation, given)
    const id = randomUUID()
    const asked = await askedLines(writing, given, id)
    const { lines, refusal } = asked
    const changed = changeLines(writing.snapshot, {
      without: new Set(),
      lines,
      accept: given.accept ?? 'ON_TIME_ONLY',
      refusal,
    })
    const { externalRef, note } = given
    const after = createOrder(writing, { id, externalRef, note, status: 'OPEN' }, asked, changed)
    return { id, event: 'ORDER_PLACED', after, changed, placed: true }
  })
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
