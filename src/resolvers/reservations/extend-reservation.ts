// A reservation is to hold for longer.
import { z } from 'zod'
import { InvalidInput, issue } from '../../errors.ts'
import { writeLines } from '../orders/write-lines.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { readInput } from '../read-input.ts'
import type { Written } from '../setup/noun.ts'
import { thingRef } from '../thing-ref.ts'
import { describeReservation } from './describe.ts'
import { activeReservation } from './find.ts'
import { endOf, MOST_MINUTES_IN_ALL, minutes } from './minutes.ts'
import { including } from './reserve-beer.ts'

const shape = z.strictObject({ reservation: thingRef, minutes: minutes.default(30) })

/**
 * Lets a reservation that holds run out so many minutes from now, never sooner than it does already. Throws
 * `InvalidInput`, `NotFound`, and `Conflict` where it holds no more.
 */
export async function extendReservation(actor: PlanningActor, input: unknown): Promise<Written> {
  const reading = readInput(shape, input)
  const { given } = reading
  const { distributorId } = actor
  const { result, revision } = await writeLines(actor, {}, async (writing) => {
    writing.refs.take(reading)
    const { tx, log, snapshot, now } = writing
    const { id, orderId, madeAt, expiresAt: before } = await activeReservation(writing, given.reservation)
    const asked = endOf(now, given.minutes)
    const last = endOf(madeAt, MOST_MINUTES_IN_ALL)
    if (asked > last)
      throw new InvalidInput([
        issue('minutes', 'OUT_OF_RANGE', `it would hold past ${last.toISOString()}, a week after it was made`),
      ])
    const expiresAt = new Date(Math.max(asked.getTime(), before.getTime()))
    const described = await describeReservation(tx, distributorId, id)
    await tx.reservation.update({ where: { distributorId_id: { distributorId, id } }, data: { expiresAt } })
    const after = await describeReservation(tx, distributorId, id)
    log('RESERVATION_EXTENDED', { type: 'Reservation', id }, described, after)
    const others = snapshot.reserved.filter(({ reservationId }) => reservationId !== id)
    return { id, reserved: including(others, { reservationId: id, orderId, expiresAt }) }
  })
  return { id: result.id, revision }
}
