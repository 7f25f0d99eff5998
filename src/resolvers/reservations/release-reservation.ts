// A reservation is given back: its beer is free for others at once.
import { z } from 'zod'
import type { Command } from '../commands/command.ts'
import { changeLines } from '../orders/replan.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { type Reading, readInput } from '../read-input.ts'
import { thingRef } from '../thing-ref.ts'
import type { Written } from '../written.ts'
import type { DescribedReservation } from './describe.ts'
import { endedAs, endings } from './end.ts'
import { activeReservation } from './find.ts'
import { endedAtOf } from './minutes.ts'

const shape = z.strictObject({ reservation: thingRef })

/** Releases a reservation that holds. Throws `InvalidInput`, `NotFound`, and `Conflict` where it holds no more. */
export async function releaseReservation(actor: PlanningActor, input: unknown): Promise<Written> {
  const command = releasing(readInput(shape, input))
  const { result: id, revision } = await actor.executor.execute(actor, { command })
  return { id, revision }
}

function releasing(read: Reading<z.output<typeof shape>>): Command<DescribedReservation, string> {
  return {
    prepare: (context) => {
      context.refs.take(read)
      return activeReservation(context, read.given.reservation)
    },
    decide: ({ snapshot, now }, before) => {
      const { id, order } = before
      const endedAt = endedAtOf(before, now)
      const without = new Set(order.lines.map((line) => line.id))
      return {
        answer: id,
        changed: changeLines(snapshot, { without, lines: [], accept: 'AS_DEMAND' }),
        writes: endings(snapshot.distributorId, [{ reservationId: id, orderId: order.id }], 'RELEASED', endedAt),
        entries: [['RESERVATION_RELEASED', { type: 'Reservation', id }, before, endedAs(before, 'RELEASED', endedAt)]],
        reserved: snapshot.reserved.filter(({ reservationId }) => reservationId !== id),
      }
    },
  }
}
