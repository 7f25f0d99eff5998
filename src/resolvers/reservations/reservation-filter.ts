// Which reservations a list has, and how one stands at an instant.
import { z } from 'zod'
import type { Prisma } from '../../database/client.ts'
import { hasRunOut, runOut, stillHolding } from '../../records/reserved.ts'
import type { Actor } from '../actor.ts'
import { changedSince, updatedSince } from '../changes/updated.ts'
import { readInput } from '../read-input.ts'
import { References, thingRef } from '../thing-ref.ts'

const status = z.enum(['ACTIVE', 'CONFIRMED', 'RELEASED', 'EXPIRED'])
export type ReservationState = z.infer<typeof status>

/** How a reservation stands: one whose time has run out is over, even before that is written. */
export function stateAt(row: { status: ReservationState; expiresAt: Date }, now: Date): ReservationState {
  return row.status === 'ACTIVE' && hasRunOut(row, now) ? 'EXPIRED' : row.status
}

/** How the order of a reservation stands, or a line of it: it lapses with the reservation's time. */
export function orderStateAt<State extends string>(
  status: State,
  reservation: { status: ReservationState; expiresAt: Date } | null,
  now: Date,
): State | 'LAPSED' {
  return status === 'RESERVED' && reservation && stateAt(reservation, now) === 'EXPIRED' ? 'LAPSED' : status
}

const shape = z.strictObject({
  filter: z.strictObject({ status: status.optional(), account: thingRef.optional(), changedSince }).default({}),
})

/** The condition of a list of reservations. Throws `InvalidInput`, `NotFound`. */
export async function reservationWhere(actor: Actor, filter: unknown): Promise<Prisma.ReservationWhereInput> {
  const { client, distributorId, clock } = actor
  const reading = readInput(shape, { filter })
  const given = reading.given.filter
  const refs = new References(client, distributorId)
  refs.take(reading)
  const accountId = given.account && (await refs.subject('Account', given.account, 'filter.account'))?.id
  refs.settle()
  return {
    distributorId,
    ...updatedSince(given.changedSince),
    ...(accountId === undefined ? {} : { order: { accountId } }),
    ...(given.status === undefined ? {} : standing(given.status, clock.now())),
  }
}

function standing(state: ReservationState, now: Date): Prisma.ReservationWhereInput {
  if (state === 'ACTIVE') return { status: 'ACTIVE', expiresAt: stillHolding(now) }
  if (state === 'EXPIRED') return { OR: [{ status: 'EXPIRED' }, { status: 'ACTIVE', expiresAt: runOut(now) }] }
  return { status: state }
}
