// What sales does with orders: places, amends and cancels them.
import { amendOrder } from '../../resolvers/orders/amend-order.ts'
import { cancelOrder } from '../../resolvers/orders/cancel-order.ts'
import type { LineOutcome, OrderAnswer } from '../../resolvers/orders/order-answer.ts'
import { placeOrder } from '../../resolvers/orders/place-order.ts'
import { MOST_LINES } from '../../resolvers/orders/shapes.ts'
import { builder } from '../builder.ts'
import { PLAN_ERRORS, WRITE_ERRORS } from '../errors.ts'
import { needs } from '../needs.ts'
import { Accept, WriteOutcome } from '../order-words.ts'
import { rowType } from '../row-type.ts'
import { revisionField, rowKey } from '../setup/setup.ts'
import { recorded } from '../setup/setup-inputs.ts'
import { OrderRefInput, ThingRefInput } from '../thing-ref.ts'
import { AT_MOST_WISHES, GaveWay } from './gave-way.ts'

const QUANTITY = 'Whole containers; 1 to 1,000,000.'
const LATEST = `${recorded('OrderLine', 'latestServeOn')} Not before the serve day.`
const DRY_RUN = 'True: nothing is written; the answer says what would be written. Absent: false.'
const IF_REVISION =
  'The revision at which you read the order: where somebody changed it since, nothing is done and `ORDER_CHANGED` says what. Absent: not looked at.'
const UPSERT =
  'True: where an order has the `externalRef` already, which must be given, it becomes just what is sent, as by an amendment: lines are matched by their references, else by pack and day; what is left out is withdrawn, or has its usual value; its account never changes. Where it is so already nothing is written. An offer or a reservation changes no other order. False or absent: the reference must be free.'
const PRIORITY = `${recorded('OrderLine', 'priority')} 3 where not given.`

const Outcome = builder.objectRef<LineOutcome>('OrderLineOutcome').implement({
  description: 'What a change makes of one line of an order.',
  fields: (t) => ({
    line: t.field({
      type: rowType('OrderLine'),
      nullable: true,
      description: 'The line as the records have it. Absent: a dry run of a line that is not there yet.',
      resolve: ({ lineId }, _args, { rows }) => rows.orderLine.load(lineId),
    }),
    pack: t.field({
      type: rowType('Pack'),
      nullable: true,
      description: 'The pack.',
      resolve: ({ packId }, _args, { rows }) => rows.pack.load(packId),
    }),
    quantity: t.exposeInt('quantity', { description: 'Whole containers that are wanted and have not left yet.' }),
    served: t.exposeInt('served', { description: 'Whole containers that the plan serves with the change.' }),
    serveOn: t.expose('serveOn', { type: 'LocalDate', description: 'The wanted day.' }),
    promisedBefore: t.expose('promisedBefore', {
      type: 'LocalDate',
      nullable: true,
      description: 'The promised day before. Absent: nothing was promised.',
    }),
    promisedOn: t.expose('promisedOn', {
      type: 'LocalDate',
      nullable: true,
      description: 'The promised day with the change. Absent: nothing is promised, or the line leaves.',
    }),
    expectedBefore: t.expose('expectedBefore', {
      type: 'LocalDate',
      nullable: true,
      description: 'The day on which the plan in force served the last of it before. Absent: it served nothing.',
    }),
    expectedOn: t.expose('expectedOn', {
      type: 'LocalDate',
      nullable: true,
      description: 'The day on which the plan serves the last of it with the change. Absent: it serves nothing.',
    }),
  }),
})

const OrderPayload = builder.objectRef<OrderAnswer>('OrderPayload').implement({
  description: 'An order that was written, and with it the plan in force; or, for a dry run, as it would be.',
  fields: (t) => ({
    revision: revisionField(t),
    dryRun: t.exposeBoolean('dryRun', { description: 'Whether it was for trial: nothing was written.' }),
    did: t.expose('did', { type: WriteOutcome, description: 'What became of the order, or would.' }),
    outcome: t.field({
      type: [Outcome],
      description: `The lines that changed, came or left, before and after; at most ${2 * MOST_LINES}.`,
      resolve: ({ outcome }) => outcome,
    }),
    gaveWay: t.field({
      type: [GaveWay],
      description: `Lines of other orders without a promise that give way to it; ${AT_MOST_WISHES}.`,
      resolve: ({ gaveWay }) => gaveWay,
    }),
    order: t.prismaField({
      type: 'Order',
      nullable: true,
      description: 'The order as it is now. Absent: a dry run of a new order.',
      resolve: (query, { id }, _args, context) =>
        context.client.order.findUnique({ ...query, where: rowKey(context, id) }),
    }),
  }),
})

export const OrderLineInput = builder.inputType('OrderLineInput', {
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
  description:
    'What to change of a line; what is not given stays. What has not left of it is placed anew; what has left keeps its pack and its day.',
  fields: (t) => ({
    line: t.field({ type: ThingRefInput, required: true, description: 'The line, which is open.' }),
    pack: t.field({ type: ThingRefInput, description: 'The pack.' }),
    quantity: t.int({ description: QUANTITY }),
    serveOn: t.field({ type: 'LocalDate', description: recorded('OrderLine', 'serveOn') }),
    latestServeOn: t.field({ type: 'LocalDate', description: `${LATEST} Null: as late as plans reach.` }),
    priority: t.int({ description: PRIORITY }),
    splittable: t.boolean({ description: recorded('OrderLine', 'splittable') }),
  }),
})

export const PlaceOrderInput = builder.inputType('PlaceOrderInput', {
  description: 'A new order: a reservation that is confirmed, an offer that is taken up, or lines of an account.',
  fields: (t) => ({
    reservation: t.field({
      type: ThingRefInput,
      description: 'The reservation to confirm: the order keeps its place in the plan and its promised days.',
    }),
    offerToken: t.string({
      description:
        'The offer to take up, as a promise gave it: by the offered days, or not at all. Once: `OFFER_USED` then says by `takenBy` what it became.',
    }),
    externalRef: t.string({ description: recorded('Order', 'externalRef') }),
    account: t.field({ type: ThingRefInput, description: 'Who orders lines of its own; a route must serve it (B2).' }),
    serveOn: t.field({
      type: 'LocalDate',
      description:
        'The day on which lines without a day of their own are to be served: from today to the end of the horizon (T5).',
    }),
    accept: t.field({
      type: Accept,
      description: 'What is accepted with lines of its own; required there. A reservation or an offer says it already.',
    }),
    note: t.string({ description: recorded('Order', 'note') }),
    lines: t.field({
      type: [OrderLineInput],
      description: `What is ordered; at least one line and at most ${MOST_LINES}.`,
    }),
    dryRun: t.boolean({ description: DRY_RUN }),
    upsert: t.boolean({ description: UPSERT }),
  }),
})

const AmendOrderInput = builder.inputType('AmendOrderInput', {
  description: 'What to change of an open order, in one step: all of it or nothing.',
  fields: (t) => ({
    order: t.field({ type: OrderRefInput, required: true, description: 'The order.' }),
    ifRevision: t.int({ description: IF_REVISION }),
    dryRun: t.boolean({ description: DRY_RUN }),
    accept: t.field({
      type: Accept,
      description:
        'What is accepted with lines that change or are new; required there. Other lines keep their place and promise.',
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
  fields: (t) => ({
    order: t.field({ type: OrderRefInput, required: true, description: 'The order.' }),
    ifRevision: t.int({ description: IF_REVISION }),
    dryRun: t.boolean({ description: DRY_RUN }),
  }),
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
