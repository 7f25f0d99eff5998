// A reservation is to hold for longer.
import { z } from 'zod'
import { changedRows } from '../../database/batched-statement.ts'
import { InvalidInput, issue } from '../../errors.ts'
import type { Command } from '../commands/command.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { type Reading, readInput } from '../read-input.ts'
import { thingRef } from '../thing-ref.ts'
import type { Written } from '../written.ts'
import type { DescribedReservation } from './describe.ts'
import { activeReservation } from './find.ts'
import { endOf, MOST_MINUTES_IN_ALL, minutes } from './minutes.ts'
import { including } from './reserve-beer.ts'

const shape = z.strictObject({ reservation: thingRef, minutes: minutes.default(30) })

/**
 * Lets a reservation that holds run out so many minutes from now, never sooner than it does already. Throws
 * `InvalidInput`, `NotFound`, and `Conflict` where it holds no more.
 */
export async function extendReservation(actor: PlanningActor, input: unknown): Promise<Written> {
  const command = extending(readInput(shape, input))
  const { result: id, revision } = await actor.executor.execute(actor, { command })
  return { id, revision }
}

function extending(read: Reading<z.output<typeof shape>>): Command<DescribedReservation, string> {
  const { given } = read
  return {
    prepare: (context) => {
      context.refs.take(read)
      return activeReservation(context, given.reservation)
    },
    decide: ({ snapshot: { distributorId, reserved }, now }, before) => {
      const { id, order } = before
      const asked = endOf(now, given.minutes)
      const last = endOf(before.madeAt, MOST_MINUTES_IN_ALL)
      if (asked > last)
        throw new InvalidInput([
          issue('minutes', 'OUT_OF_RANGE', `it would hold past ${last.toISOString()}, a week after it was made`),
        ])
      const expiresAt = new Date(Math.max(asked.getTime(), before.expiresAt.getTime()))
      const others = reserved.filter(({ reservationId }) => reservationId !== id)
      return {
        answer: id,
        writes: changedRows('Reservation', [{ distributorId, id, expiresAt }]),
        entries: [['RESERVATION_EXTENDED', { type: 'Reservation', id }, before, { ...before, expiresAt }]],
        reserved: including(others, { reservationId: id, orderId: order.id, expiresAt }),
      }
    },
  }
}
