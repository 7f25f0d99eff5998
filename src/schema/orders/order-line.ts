// Order lines: what was asked for, what was promised, and what the plan in force makes of it.
import type { LineRisk } from '../../resolvers/orders/risks.ts'
import { orderStateAt } from '../../resolvers/reservations/reservation-filter.ts'
import { builder } from '../builder.ts'
import { ORDER_OF_LINE } from '../costs.ts'
import { ReasonType } from '../errors.ts'
import { OrderStatus } from '../order-words.ts'
import { rowKey } from '../setup/setup.ts'

/** Most reasons that a list of them has. */
export const MOST_REASONS = 100

type Fields<Shape> = PothosSchemaTypes.ObjectFieldBuilder<typeof builder.$inferSchemaTypes, Shape>

/** The fields that say how much of a line at risk is not served, and why. */
export const riskFields = <Shape extends LineRisk>(t: Fields<Shape>) => ({
  containers: t.int({
    resolve: ({ containers }) => containers,
    nullable: true,
    description: 'Whole containers that are not served. Absent: all are, but late.',
  }),
  reasons: t.field({
    type: [ReasonType],
    description: `The rules that bind, and what would help; at most ${MOST_REASONS}.`,
    // Most lines are not at risk, and of those that are one or two rules bind most.
    complexity: { field: 1, multiplier: 2 },
    resolve: ({ reasons }) => reasons.slice(0, MOST_REASONS),
  }),
})

const RiskType = builder.objectRef<LineRisk>('OrderLineRisk').implement({
  description: 'Why the plan in force does not serve a line as promised or wanted (E1, F2).',
  fields: (t) => ({
    ...riskFields(t),
  }),
})

builder.prismaNode('OrderLine', {
  authScopes: { scope: 'orders:read' },
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    externalRef: t.exposeString('externalRef', { nullable: true }),
    order: t.relation('order', { description: 'The order that it belongs to.', complexity: ORDER_OF_LINE }),
    lineNumber: t.exposeInt('lineNumber'),
    pack: t.relation('pack', { description: 'The pack.' }),
    quantity: t.exposeInt('quantity'),
    dispatched: t.exposeInt('dispatched'),
    delivered: t.exposeInt('delivered'),
    serveOn: t.expose('serveOn', { type: 'LocalDate' }),
    latestServeOn: t.expose('latestServeOn', { type: 'LocalDate', nullable: true }),
    promisedOn: t.expose('promisedOn', { type: 'LocalDate', nullable: true }),
    priority: t.exposeInt('priority'),
    splittable: t.exposeBoolean('splittable'),
    placedAt: t.expose('placedAt', { type: 'DateTime', nullable: true }),
    status: t.field({
      type: OrderStatus,
      description: 'How far the line has come.',
      select: {
        status: true,
        order: { select: { reservation: { select: { status: true, expiresAt: true } } } },
      },
      resolve: ({ status, order }, _args, { services }) =>
        orderStateAt(status, order.reservation, services.clock.now()),
    }),
    expectedOn: t.field({
      type: 'LocalDate',
      nullable: true,
      description:
        'The day on which the plan in force serves the last of it, as far as it still holds. Absent: it serves nothing of it.',
      select: { id: true },
      resolve: ({ id }, _args, { linesInForce }) => linesInForce.standing(id).expectedOn(),
    }),
    atRisk: t.field({
      type: RiskType,
      nullable: true,
      description:
        'Set where the plan in force, as far as it still holds, serves it late or not wholly: after its promised day, or after its serve day if nothing was promised.',
      select: { id: true },
      resolve: ({ id }, _args, { linesInForce }) => linesInForce.standing(id).atRisk(),
    }),
  }),
})
