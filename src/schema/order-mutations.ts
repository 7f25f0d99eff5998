// What sales does with orders: places, amends and cancels them.
import { amendOrder } from '../resolvers/orders/amend-order.ts'
import { cancelOrder } from '../resolvers/orders/cancel-order.ts'
import { placeOrder } from '../resolvers/orders/place-order.ts'
import { MOST_LINES } from '../resolvers/orders/shapes.ts'
import type { Written } from '../resolvers/setup/noun.ts'
import { builder } from './builder.ts'
import { PLAN_ERRORS, WRITE_ERRORS } from './errors.ts'
import { needs } from './needs.ts'
import { Accept } from './order-words.ts'
import { revisionField, rowKey } from './setup.ts'
import { recorded } from './setup-inputs.ts'
import { ThingRefInput } from './thing-ref.ts'

const QUANTITY = 'Whole containers; 1 to 1,000,000.'
const LATEST = `${recorded('OrderLine', 'latestServeOn')} Not before the serve day.`
const PRIORITY = `${recorded('OrderLine', 'priority')} 3 where not given.`

const OrderPayload = builder.objectRef<Written>('OrderPayload').implement({
  description: 'An order that was written, and with it the plan in force.',
  fields: (t) => ({
    revision: revisionField(t),
    order: t.prismaField({
      type: 'Order',
      description: 'The order as it is now.',
      resolve: (query, { id }, _args, context) =>
        context.client.order.findUniqueOrThrow({ ...query, where: rowKey(context, id) }),
    }),
  }),
})

const OrderLineInput = builder.inputType('OrderLineInput', {
  description: 'So many of one pack.',
  fields: (t) => ({
    externalRef: t.string({ description: recorded('OrderLine', 'externalRef') }),
    pack: t.field({ type: ThingRefInput, required: true, description: 'The pack.' }),
    quantity: t.int({ required: true, description: QUANTITY }),
    serveOn: t.field({
      type: 'LocalDate',
      description: 'The day on which it is to be served, where it differs from the order; today at the earliest.',
    }),
    latestServeOn: t.field({ type: 'LocalDate', description: LATEST }),
    priority: t.int({ description: PRIORITY }),
    splittable: t.boolean({ description: recorded('OrderLine', 'splittable') }),
  }),
})

const ChangeOrderLineInput = builder.inputType('ChangeOrderLineInput', {
  description: 'What to change of a line; what is not given stays. The line is placed anew.',
  fields: (t) => ({
    line: t.field({ type: ThingRefInput, required: true, description: 'The line, which is open.' }),
    pack: t.field({ type: ThingRefInput, description: 'The pack.' }),
    quantity: t.int({ description: QUANTITY }),
    serveOn: t.field({ type: 'LocalDate', description: recorded('OrderLine', 'serveOn') }),
    latestServeOn: t.field({ type: 'LocalDate', description: LATEST }),
    priority: t.int({ description: PRIORITY }),
    splittable: t.boolean({ description: recorded('OrderLine', 'splittable') }),
  }),
})

const PlaceOrderInput = builder.inputType('PlaceOrderInput', {
  description: 'A new order of one account.',
  fields: (t) => ({
    externalRef: t.string({ description: recorded('Order', 'externalRef') }),
    account: t.field({ type: ThingRefInput, required: true, description: 'Who orders; a route must serve it (B2).' }),
    serveOn: t.field({
      type: 'LocalDate',
      description:
        'The day on which lines without a day of their own are to be served: from today to the end of the horizon (T5).',
    }),
    accept: t.field({ type: Accept, required: true, description: 'What is accepted with it.' }),
    note: t.string({ description: recorded('Order', 'note') }),
    lines: t.field({
      type: [OrderLineInput],
      required: true,
      description: `What is ordered; at least one line and at most ${MOST_LINES}.`,
    }),
  }),
})

const AmendOrderInput = builder.inputType('AmendOrderInput', {
  description: 'What to change of an open order, in one step: all of it or nothing.',
  fields: (t) => ({
    order: t.field({ type: ThingRefInput, required: true, description: 'The order.' }),
    accept: t.field({
      type: Accept,
      required: true,
      description: 'What is accepted with lines that change or are new; other lines keep their place and promise.',
    }),
    externalRef: t.string({ description: recorded('Order', 'externalRef') }),
    note: t.string({ description: recorded('Order', 'note') }),
    changeLines: t.field({ type: [ChangeOrderLineInput], description: `Lines to change; at most ${MOST_LINES}.` }),
    addLines: t.field({
      type: [OrderLineInput],
      description: `New lines, each with its serve day; at most ${MOST_LINES} lines an order.`,
    }),
    cancelLines: t.field({ type: [ThingRefInput], description: `Lines to withdraw; at most ${MOST_LINES}.` }),
  }),
})

const CancelOrderInput = builder.inputType('CancelOrderInput', {
  description: 'An order to withdraw.',
  fields: (t) => ({ order: t.field({ type: ThingRefInput, required: true, description: 'The order.' }) }),
})

builder.mutationFields((t) => ({
  placeOrder: t.field({
    ...needs(
      'orders:write',
      'Places an order in the plan in force, whole or not at all; what is promised to others does not move. A brew may be added to the plan for it.',
    ),
    type: OrderPayload,
    errors: PLAN_ERRORS,
    args: { input: t.arg({ type: PlaceOrderInput, required: true, description: 'The order.' }) },
    resolve: (_root, { input }, { planning }) => placeOrder(planning, input),
  }),
  amendOrder: t.field({
    ...needs('orders:write', 'Changes an open order: what cannot be served as accepted leaves it as it was.'),
    type: OrderPayload,
    errors: PLAN_ERRORS,
    args: { input: t.arg({ type: AmendOrderInput, required: true, description: 'What to change.' }) },
    resolve: (_root, { input }, { planning }) => amendOrder(planning, input),
  }),
  cancelOrder: t.field({
    ...needs('orders:write', 'Withdraws what is open of an order. Its beer is free at once for others.'),
    type: OrderPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: CancelOrderInput, required: true, description: 'The order.' }) },
    resolve: (_root, { input }, { planning }) => cancelOrder(planning, input),
  }),
}))
