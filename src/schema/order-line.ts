// Order lines: what was asked for, what was promised, and what the plan in force makes of it.
import type { Reason } from '../planner/documents/index.ts'
import { readReasons } from '../resolvers/plans/reasons.ts'
import { orderStateAt } from '../resolvers/reservations/reservation-filter.ts'
import { builder } from './builder.ts'
import { ReasonType } from './errors.ts'
import { OrderStatus } from './order-words.ts'
import { rowKey } from './setup.ts'

/** Most reasons that a list of them has. */
export const MOST_REASONS = 100

interface Risk {
  containers: number | null
  reasons: Reason[]
}

const RiskType = builder.objectRef<Risk>('OrderLineRisk').implement({
  description: 'Why the plan in force does not serve a line as promised or wanted (E1, F2).',
  fields: (t) => ({
    containers: t.exposeInt('containers', {
      nullable: true,
      description: 'Whole containers that are not served. Absent: all are, but late.',
    }),
    reasons: t.field({
      type: [ReasonType],
      description: `The rules that bind, and what would help; at most ${MOST_REASONS}.`,
      resolve: ({ reasons }) => reasons.slice(0, MOST_REASONS),
    }),
  }),
})

const inForce = { plan: { status: 'IN_FORCE' } } as const

builder.prismaNode('OrderLine', {
  authScopes: { scope: 'orders:read' },
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    externalRef: t.exposeString('externalRef', { nullable: true }),
    order: t.relation('order', { description: 'The order that it belongs to.' }),
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
      select: {
        id: true,
        deliveries: { where: inForce, select: { serveOn: true }, orderBy: { serveOn: 'desc' }, take: 1 },
      },
      resolve: async ({ id, deliveries }, _args, context) => {
        const moved = (await context.movedOn()).get(id)
        return moved ? moved.expectedOn : (deliveries[0]?.serveOn ?? null)
      },
    }),
    atRisk: t.field({
      type: RiskType,
      nullable: true,
      description:
        'Set where the plan in force, as far as it still holds, serves it late or not wholly: after its promised day, or after its serve day if nothing was promised.',
      select: { id: true, verdicts: { where: inForce, select: { kind: true, quantity: true, reasons: true } } },
      resolve: async ({ id, verdicts }, _args, context) => {
        const moved = (await context.movedOn()).get(id)
        if (moved) return moved.atRisk ?? null
        const worst = verdicts.find(({ kind }) => kind === 'UNSERVED') ?? verdicts[0]
        return worst ? { containers: worst.quantity, reasons: readReasons(worst.reasons) } : null
      },
    }),
  }),
})
