// Beer is taken off the market for some minutes: its lines have a place in the plan in force, and a promised day.
import { z } from 'zod'
import { partitionPoint } from '../../planner/documents/index.ts'
import type { Reserved } from '../../records/reserved.ts'
import type { Command } from '../commands/command.ts'
import { type Asked, askedFor, askedLines } from '../orders/asked-lines.ts'
import { newOrder } from '../orders/create-order.ts'
import type { OrderAnswer } from '../orders/order-answer.ts'
import { changeLines } from '../orders/replan.ts'
import { note } from '../orders/shapes.ts'
import type { PlanningActor } from '../planning-actor.ts'
import { type Reading, readInput } from '../read-input.ts'
import { externalRef } from '../setup/shapes.ts'
import type { Written } from '../written.ts'
import { endOf, minutes } from './minutes.ts'

const shape = z.strictObject({
  ...askedFor,
  minutes: minutes.default(30),
  accept: z.enum(['ON_TIME_ONLY', 'LATER']).default('ON_TIME_ONLY'),
  externalRef,
  note: note.optional(),
})

/**
 * Reserves an offer, or lines of an account, whole or not at all. Throws `InvalidInput`, `Conflict`, and `NotPossible` with
 * what binds where it cannot be served by the offered or wanted days.
 */
export async function reserveBeer(actor: PlanningActor, input: unknown): Promise<ReservationAnswer> {
  const command = reserving(readInput(shape, input))
  const { result, revision } = await actor.executor.execute(actor, { command })
  return { ...result, revision }
}

/** A reservation that was made, extended or released. */
export interface ReservationAnswer extends Written {
  /** Lines without a promise that gave way to it. Absent: none could. */
  gaveWay?: OrderAnswer['gaveWay']
}

function reserving(read: Reading<z.output<typeof shape>>): Command<Asked, Omit<ReservationAnswer, 'revision'>> {
  const { given } = read
  const accept = given.offerToken === undefined ? given.accept : 'ON_TIME_ONLY'
  return {
    prepare: async (context) => {
      context.refs.take(read)
      await context.refs.free('Reservation', given.externalRef, 'externalRef')
      return askedLines(context, given)
    },
    decide: (records, asked) => {
      const { snapshot, now } = records
      const { reservationId: id, orderId, lines, refusal } = asked
      const changed = changeLines(snapshot, { without: new Set(), lines, accept, refusal })
      const { order, writes } = newOrder(records, { id: orderId, status: 'RESERVED' }, asked, changed)
      const expiresAt = endOf(now, given.minutes)
      const { externalRef = null, note = null } = given
      const reservation = { id, externalRef, status: 'ACTIVE' as const, madeAt: now, expiresAt, endedAt: null, note }
      const row = { ...reservation, distributorId: snapshot.distributorId, orderId }
      return {
        ...{ answer: { id, gaveWay: changed.gaveWay }, changed, placed: true },
        writes: [...writes, { model: 'Reservation', rows: [row] }],
        entries: [['RESERVATION_MADE', { type: 'Reservation', id }, undefined, { ...reservation, order }]],
        reserved: including(snapshot.reserved, { reservationId: id, orderId, expiresAt }),
      }
    },
  }
}

/** The reservations that hold, those that run out first at the front, and one more. */
export function including(reserved: readonly Reserved[], one: Reserved): Reserved[] {
  return reserved.toSpliced(
    partitionPoint(reserved, (other) => runsOutBefore(other, one)),
    0,
    one,
  )
}

function runsOutBefore(a: Reserved, b: Reserved): boolean {
  const ahead = a.expiresAt.getTime() - b.expiresAt.getTime()
  return ahead < 0 || (ahead === 0 && a.reservationId < b.reservationId)
}
