// A reservation is given back: its beer is free for others at once.
import { z } from 'zod'
import { changeLines } from '../orders/replan.ts'
import { writeLines } from '../orders/write-lines.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { readInput } from '../read-input.ts'
import type { Written } from '../setup/noun.ts'
import { thingRef } from '../thing-ref.ts'
import { describeReservation } from './describe.ts'
import { endedAs, endings } from './end.ts'
import { activeReservation } from './find.ts'

const shape = z.strictObject({ reservation: thingRef })

/** Releases a reservation that holds. Throws `InvalidInput`, `NotFound`, and `Conflict` where it holds no more. */
export async function releaseReservation(actor: PlanningActor, input: unknown): Promise<Written> {
  const reading = readInput(shape, input)
  const { given } = reading
  const { distributorId } = actor
  const { result, revision } = await writeLines(actor, {}, async (writing) => {
    writing.refs.take(reading)
    const { tx, log, atEnd, snapshot, now } = writing
    const { id, orderId, order } = await activeReservation(writing, given.reservation)
    const before = await describeReservation(tx, distributorId, id)
    const without = new Set(order.lines.map((line) => line.id))
    const changed = changeLines(snapshot, { without, lines: [], accept: 'AS_DEMAND' })
    atEnd(...endings(distributorId, [{ reservationId: id, orderId }], 'RELEASED', now))
    log('RESERVATION_RELEASED', { type: 'Reservation', id }, before, endedAs(before, 'RELEASED', now))
    return { id, changed, reserved: snapshot.reserved.filter(({ reservationId }) => reservationId !== id) }
  })
  return { id: result.id, revision }
}
