// Orders: their type, look-up and list.
import { NotFound } from '../../errors.ts'
import { changedSinceWords } from '../../resolvers/changes/updated.ts'
import { MOST_REFS, orderWhere } from '../../resolvers/orders/order-filter.ts'
import { MOST_LINES } from '../../resolvers/orders/shapes.ts'
import { parseInput } from '../../resolvers/parse-input.ts'
import { orderStateAt } from '../../resolvers/reservations/reservation-filter.ts'
import { findOrder, orderRef, wordsOf } from '../../resolvers/thing-ref.ts'
import { builder } from '../builder.ts'
import { USUAL_LINES, usually } from '../costs.ts'
import { needs } from '../needs.ts'
import { OrderStatus } from '../order-words.ts'
import { pages } from '../pages.ts'
import { rowKey } from '../setup/setup.ts'
import { OrderRefInput, ThingRefInput } from '../thing-ref.ts'

builder.prismaNode('Order', {
  authScopes: { scope: 'orders:read' },
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    externalRef: t.exposeString('externalRef', { nullable: true }),
    number: t.exposeInt('number'),
    account: t.relation('account', { description: 'Who ordered.' }),
    status: t.field({
      type: OrderStatus,
      description: 'How far the order has come.',
      select: { status: true, reservation: { select: { status: true, expiresAt: true } } },
      resolve: ({ status, reservation }, _args, { services }) =>
        orderStateAt(status, reservation, services.clock.now()),
    }),
    placedAt: t.expose('placedAt', { type: 'DateTime' }),
    updatedAt: t.expose('updatedAt', { type: 'DateTime' }),
    cancelledAt: t.expose('cancelledAt', { type: 'DateTime', nullable: true }),
    note: t.exposeString('note', { nullable: true }),
    lines: t.relation('lines', {
      description: `Its lines in their order, those that were cancelled too; at most ${MOST_LINES}.`,
      complexity: usually(USUAL_LINES),
      query: { orderBy: { lineNumber: 'asc' } },
    }),
  }),
})

const OrderFilter = builder.inputType('OrderFilter', {
  description: 'Which orders to list. What is not given does not filter.',
  fields: (t) => ({
    status: t.field({ type: OrderStatus, description: 'Only orders that have come so far.' }),
    account: t.field({ type: ThingRefInput, description: 'Only orders of this account.' }),
    pack: t.field({ type: ThingRefInput, description: 'Only orders with a line of this pack.' }),
    serveFrom: t.field({
      type: 'LocalDate',
      description: 'Only orders with a line to be served on or after this day.',
    }),
    serveTo: t.field({ type: 'LocalDate', description: 'Only orders with a line to be served on or before this day.' }),
    atRisk: t.boolean({
      description:
        'True: only orders with a line that the plan in force serves late or not wholly; false: only orders without one.',
    }),
    externalRefs: t.stringList({
      description: `Only orders with one of these references of yours; at most ${MOST_REFS}.`,
    }),
    changedSince: t.field({ type: 'DateTime', description: changedSinceWords('orders') }),
    number: t.int({ description: 'Only the order of this number, 1 or more.' }),
  }),
})

builder.queryFields((t) => ({
  order: t.prismaField({
    ...needs('orders:read', 'One order.'),
    type: 'Order',
    nullable: true,
    args: { by: t.arg({ type: OrderRefInput, required: true, description: 'Which one.' }) },
    resolve: async (query, _root, { by }, context) => {
      const { client, distributorId } = context
      const ref = parseInput(orderRef, by)
      const id = await findOrder(client, distributorId, ref)
      if (id === undefined) throw new NotFound('Order', wordsOf(ref))
      return client.order.findUnique({ ...query, where: rowKey(context, id) })
    },
  }),
  orders: t.prismaConnection(
    {
      ...needs('orders:read', 'Orders in order of their number.'),
      type: 'Order',
      cursor: 'distributorId_id',
      nullable: true,
      args: { filter: t.arg({ type: OrderFilter, description: 'Which orders. Absent: all.' }) },
      resolve: async (query, _root, { filter }, { client, actor }) =>
        client.order.findMany({ ...query, where: await orderWhere(actor, filter), orderBy: { number: 'asc' } }),
      totalCount: async (_root, { filter }, { client, actor }) =>
        client.order.count({ where: await orderWhere(actor, filter) }),
    },
    ...pages('Order', 'orders'),
  ),
}))
