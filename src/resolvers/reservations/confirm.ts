// A reservation becomes an order: it keeps the place that it has in the plan in force.
import { changedRows } from '../../database/batched-statement.ts'
import type { Decision, Records } from '../commands/command.ts'
import type { OrderDecided } from '../orders/order-answer.ts'
import type { DescribedReservation } from './describe.ts'
import { endedAtOf } from './minutes.ts'

/** The order of a reservation that holds is open from now on, with a reference and a note of its own where they are given. */
export function confirmed(
  { snapshot: { distributorId, reserved }, now }: Records,
  reservation: DescribedReservation,
  given: { externalRef?: string; note?: string },
): Decision<OrderDecided> {
  const { id, order } = reservation
  const { externalRef = order.externalRef, note = order.note } = given
  const opened = { status: 'OPEN' as const, placedAt: now, externalRef, note }
  const ended = { status: 'CONFIRMED' as const, endedAt: endedAtOf(reservation, now) }
  const lines = order.lines.map((line) => ({ ...line, status: 'OPEN' as const }))
  const orderAfter = { ...order, ...opened, lines }
  return {
    answer: { id: order.id, did: 'CREATED', outcome: [], gaveWay: [] },
    writes: [
      ...changedRows('Order', [{ distributorId, id: order.id, ...opened }]),
      ...changedRows(
        'OrderLine',
        lines.map((line) => ({ distributorId, id: line.id, status: line.status })),
      ),
      ...changedRows('Reservation', [{ distributorId, id, ...ended }]),
    ],
    entries: [
      [
        'RESERVATION_CONFIRMED',
        { type: 'Reservation', id },
        reservation,
        { ...reservation, ...ended, order: orderAfter },
      ],
      ['ORDER_PLACED', { type: 'Order', id: order.id }, undefined, orderAfter],
    ],
    reserved: reserved.filter(({ reservationId }) => reservationId !== id),
  }
}
