// Reservations: beer that is kept for a customer for some minutes; their type, look-up, list and mutations.

import { changedSinceWords } from '../../resolvers/changes/updated.ts'
import { MOST_LINES } from '../../resolvers/orders/shapes.ts'
import { extendReservation } from '../../resolvers/reservations/extend-reservation.ts'
import { MOST_MINUTES } from '../../resolvers/reservations/minutes.ts'
import { releaseReservation } from '../../resolvers/reservations/release-reservation.ts'
import { reservationWhere, stateAt } from '../../resolvers/reservations/reservation-filter.ts'
import { type ReservationAnswer, reserveBeer } from '../../resolvers/reservations/reserve-beer.ts'
import { builder } from '../builder.ts'
import { PLAN_ERRORS, WRITE_ERRORS } from '../errors.ts'
import { needs } from '../needs.ts'
import { ReservationStatus, ReserveAccept } from '../order-words.ts'
import { AT_MOST_WISHES, GaveWay } from '../orders/gave-way.ts'
import { OrderLineInput } from '../orders/order-mutations.ts'
import { pages } from '../pages.ts'
import { idOf, revisionField, rowKey } from '../setup/setup.ts'
import { recorded } from '../setup/setup-inputs.ts'
import { ThingRefInput } from '../thing-ref.ts'

export const MINUTES = `Minutes from now, 1 to ${MOST_MINUTES}; 30 where not given.`

builder.prismaNode('Reservation', {
  authScopes: { scope: 'orders:read' },
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    externalRef: t.exposeString('externalRef', { nullable: true }),
    status: t.field({
      type: ReservationStatus,
      description: 'How it stands now.',
      select: { status: true, expiresAt: true },
      resolve: (row, _args, { services }) => stateAt(row, services.clock.now()),
    }),
    madeAt: t.expose('madeAt', { type: 'DateTime' }),
    updatedAt: t.expose('updatedAt', { type: 'DateTime' }),
    expiresAt: t.expose('expiresAt', { type: 'DateTime' }),
    endedAt: t.field({
      type: 'DateTime',
      nullable: true,
      description: 'When it was confirmed or released, or when its time ran out. Absent: it is active.',
      select: { status: true, expiresAt: true, endedAt: true },
      resolve: (row, _args, { services }) =>
        row.endedAt ?? (stateAt(row, services.clock.now()) === 'EXPIRED' ? row.expiresAt : null),
    }),
    note: t.exposeString('note', { nullable: true }),
    order: t.relation('order', {
      description: `The order that holds its at most ${MOST_LINES} lines: reserved, or open once it is confirmed.`,
    }),
  }),
})

const ReservationPayload = builder.objectRef<ReservationAnswer>('ReservationPayload').implement({
  description: 'A reservation that was written, and with it the plan in force.',
  fields: (t) => ({
    revision: revisionField(t),
    reservation: t.prismaField({
      type: 'Reservation',
      description: 'The reservation as it is now.',
      resolve: (query, { id }, _args, context) =>
        context.client.reservation.findUniqueOrThrow({ ...query, where: rowKey(context, id) }),
    }),
    gaveWay: t.field({
      type: [GaveWay],
      description: `Lines without a promise that gave way to it; ${AT_MOST_WISHES}.`,
      resolve: ({ gaveWay = [] }) => gaveWay,
    }),
  }),
})

const ReserveBeerInput = builder.inputType('ReserveBeerInput', {
  description: 'What to reserve: an offer that a promise made, or lines of an account.',
  fields: (t) => ({
    offerToken: t.string({
      description:
        'The offer to take up, as a promise gave it: by the offered days, or not at all. Once: `OFFER_USED` then says by `takenBy` what it became.',
    }),
    account: t.field({ type: ThingRefInput, description: 'For whom, without an offer; a route must serve it (B2).' }),
    serveOn: t.field({
      type: 'LocalDate',
      description: 'The day on which lines without a day of their own are to be served.',
    }),
    lines: t.field({
      type: [OrderLineInput],
      description: `What to reserve, without an offer; at least one line and at most ${MOST_LINES}.`,
    }),
    accept: t.field({ type: ReserveAccept, description: 'What is accepted without an offer. Absent: ON_TIME_ONLY.' }),
    minutes: t.int({ description: MINUTES }),
    externalRef: t.string({ description: recorded('Reservation', 'externalRef') }),
    note: t.string({ description: recorded('Reservation', 'note') }),
  }),
})

const ExtendReservationInput = builder.inputType('ExtendReservationInput', {
  description: 'A reservation that is to hold for longer.',
  fields: (t) => ({
    reservation: t.field({ type: ThingRefInput, required: true, description: 'The reservation.' }),
    minutes: t.int({
      description: `${MINUTES} It never ends sooner than before, and at most a week after it was made.`,
    }),
  }),
})

const ReleaseReservationInput = builder.inputType('ReleaseReservationInput', {
  description: 'A reservation to give back.',
  fields: (t) => ({
    reservation: t.field({ type: ThingRefInput, required: true, description: 'The reservation.' }),
  }),
})

const ReservationFilter = builder.inputType('ReservationFilter', {
  description: 'Which reservations to list. What is not given does not filter.',
  fields: (t) => ({
    status: t.field({ type: ReservationStatus, description: 'Only reservations that stand so now.' }),
    account: t.field({ type: ThingRefInput, description: 'Only reservations of this account.' }),
    changedSince: t.field({ type: 'DateTime', description: changedSinceWords('reservations') }),
  }),
})

builder.queryFields((t) => ({
  reservation: t.prismaField({
    ...needs('orders:read', 'One reservation.'),
    type: 'Reservation',
    nullable: true,
    args: { by: t.arg({ type: ThingRefInput, required: true, description: 'Which one.' }) },
    resolve: async (query, _root, { by }, context) =>
      context.client.reservation.findUnique({
        ...query,
        where: rowKey(context, await idOf(context, 'Reservation', by)),
      }),
  }),
  reservations: t.prismaConnection(
    {
      ...needs('orders:read', 'Reservations, the one that was made last first.'),
      type: 'Reservation',
      cursor: 'distributorId_id',
      nullable: true,
      args: { filter: t.arg({ type: ReservationFilter, description: 'Which reservations. Absent: all.' }) },
      resolve: async (query, _root, { filter }, { client, actor }) =>
        client.reservation.findMany({
          ...query,
          where: await reservationWhere(actor, filter),
          orderBy: [{ madeAt: 'desc' }, { id: 'desc' }],
        }),
      totalCount: async (_root, { filter }, { client, actor }) =>
        client.reservation.count({ where: await reservationWhere(actor, filter) }),
    },
    ...pages('Reservation', 'reservations'),
  ),
}))

builder.mutationFields((t) => ({
  reserveBeer: t.field({
    ...needs(
      'orders:write',
      'Takes beer off the market for some minutes, whole or not at all; what is promised to others does not move. It is free again when the time runs out, when it is released, or becomes an order.',
    ),
    type: ReservationPayload,
    errors: PLAN_ERRORS,
    args: { input: t.arg({ type: ReserveBeerInput, required: true, description: 'What to reserve.' }) },
    resolve: (_root, { input }, { planning }) => reserveBeer(planning, input),
  }),
  extendReservation: t.field({
    ...needs('orders:write', 'Lets a reservation that holds run out later.'),
    type: ReservationPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: ExtendReservationInput, required: true, description: 'Which, and how long.' }) },
    resolve: (_root, { input }, { planning }) => extendReservation(planning, input),
  }),
  releaseReservation: t.field({
    ...needs('orders:write', 'Gives a reservation back. Its beer is free at once for others.'),
    type: ReservationPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: ReleaseReservationInput, required: true, description: 'Which.' }) },
    resolve: (_root, { input }, { planning }) => releaseReservation(planning, input),
  }),
}))
