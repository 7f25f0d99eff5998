// When can this account have these? The answer of a trial placement in the plan in force.

import { MOST_LINES } from '../resolvers/orders/shapes.ts'
import type { TrialDelivery, TrialTake } from '../resolvers/promise/promise.ts'
import { type PromiseAnswer, type PromisedLine, promise } from '../resolvers/promise/promise.ts'
import { builder } from './builder.ts'
import { ReasonType } from './errors.ts'
import { needs } from './needs.ts'
import { MOST_REASONS } from './order-line.ts'
import { recorded } from './setup-inputs.ts'
import { ThingRefInput } from './thing-ref.ts'

const SourceKind = builder.enumType('SourceKind', {
  description: 'Where the beer of a promise comes from.',
  values: {
    STOCK: { description: 'Filled containers in stock.' },
    FILLED: { description: 'Containers that the plan in force fills for nobody yet.' },
    BATCH: { description: 'A batch that exists or that the plan in force brews, filled for this.' },
    NEW_BREW: { description: 'A brew that would be added to the plan in force.' },
  },
})

const Source = builder.objectRef<TrialTake>('PromiseSource').implement({
  description: 'So many containers from one source.',
  fields: (t) => ({
    kind: t.expose('kind', { type: SourceKind, description: 'Where it comes from.' }),
    quantity: t.exposeInt('quantity', { description: 'Whole containers.' }),
    fillOn: t.expose('fillOn', {
      type: 'LocalDate',
      nullable: true,
      description: 'The day of the fill (B3). Absent: it is in stock.',
    }),
    brewOn: t.expose('brewOn', {
      type: 'LocalDate',
      nullable: true,
      description: 'The day of the brew (T1), where it is still to be brewed.',
    }),
    stockLot: t.prismaField({
      type: 'StockLot',
      nullable: true,
      description: 'The stock lot, where it is in stock.',
      resolve: (_query, { stockLotId }, _args, { rows }) => (stockLotId ? rows.stockLot.load(stockLotId) : null),
    }),
    batch: t.prismaField({
      type: 'Batch',
      nullable: true,
      description: 'The batch, where it exists already.',
      resolve: (_query, { batchId }, _args, { rows }) => (batchId ? rows.batch.load(batchId) : null),
    }),
    vessel: t.prismaField({
      type: 'Vessel',
      nullable: true,
      description: 'The vessel that it is filled from (V4). Absent: it is in stock.',
      resolve: (_query, { vesselId }, _args, { rows }) => (vesselId ? rows.vessel.load(vesselId) : null),
    }),
    filler: t.prismaField({
      type: 'Filler',
      nullable: true,
      description: 'The filler that fills it (L1). Absent: it is in stock.',
      resolve: (_query, { fillerId }, _args, { rows }) => (fillerId ? rows.filler.load(fillerId) : null),
    }),
  }),
})

const PromiseDelivery = builder.objectRef<TrialDelivery>('PromiseDelivery').implement({
  description: 'One delivery of a line.',
  fields: (t) => ({
    route: t.prismaField({
      type: 'Route',
      nullable: true,
      description: 'The route (B2).',
      resolve: (_query, { routeId }, _args, { rows }) => rows.route.load(routeId),
    }),
    dispatchOn: t.expose('dispatchOn', { type: 'LocalDate', description: 'The day on which it leaves (B2).' }),
    serveOn: t.expose('serveOn', { type: 'LocalDate', description: 'The first day on which it can be served (B1).' }),
    sources: t.field({
      type: [Source],
      description: 'What it takes from where; at most 100.',
      resolve: ({ sources }) => sources.slice(0, 100),
    }),
  }),
})

const Line = builder.objectRef<PromisedLine>('PromiseLine').implement({
  description: 'The answer for one line.',
  fields: (t) => ({
    pack: t.prismaField({
      type: 'Pack',
      nullable: true,
      description: 'The pack.',
      resolve: (_query, { packId }, _args, { rows }) => rows.pack.load(packId),
    }),
    quantity: t.exposeInt('quantity', { description: 'Whole containers that were asked for.' }),
    served: t.exposeInt('served', { description: 'Whole containers that can be served.' }),
    wantedOn: t.expose('wantedOn', { type: 'LocalDate', description: 'The day that was asked for.' }),
    serveOn: t.expose('serveOn', {
      type: 'LocalDate',
      nullable: true,
      description: 'The earliest day, not before the wanted one, by which all of it is served. Absent: nothing can be.',
    }),
    onTime: t.exposeBoolean('onTime', { description: 'Whether all of it is served on the wanted day.' }),
    deliveries: t.field({
      type: [PromiseDelivery],
      description: 'How it would be served; at most 2 (A3).',
      resolve: ({ deliveries }) => deliveries,
    }),
    sources: t.field({
      type: [Source],
      description: 'What its deliveries take from where; at most 200.',
      resolve: ({ deliveries }) => deliveries.flatMap(({ sources }) => sources).slice(0, 200),
    }),
    limits: t.field({
      type: [ReasonType],
      description: `What binds it where it is not on time (section 9 of the planning rules); at most ${MOST_REASONS}.`,
      resolve: ({ limits }) => limits.slice(0, MOST_REASONS),
    }),
  }),
})

const Answer = builder.objectRef<PromiseAnswer>('Promise').implement({
  description:
    'What can be served when, beside everything that the plan in force serves. Nothing was moved or written.',
  fields: (t) => ({
    allOnTime: t.exposeBoolean('allOnTime', { description: 'Whether all lines are served on their wanted days.' }),
    earliestServeOn: t.expose('earliestServeOn', {
      type: 'LocalDate',
      nullable: true,
      description: 'The first day by which all lines are served. Absent: a line cannot wholly be served at all.',
    }),
    lines: t.field({
      type: [Line],
      description: `One for each line of the question, in its order; at most ${MOST_LINES}.`,
      resolve: ({ lines }) => lines,
    }),
    revision: t.exposeInt('revision', { description: 'The revision of the records that it was answered from.' }),
  }),
})

const PromiseLineInput = builder.inputType('PromiseLineInput', {
  description: 'So many of one pack. Lines are placed together, earlier ones first.',
  fields: (t) => ({
    pack: t.field({ type: ThingRefInput, required: true, description: 'The pack.' }),
    quantity: t.int({ required: true, description: 'Whole containers; 1 to 1,000,000.' }),
    serveOn: t.field({ type: 'LocalDate', description: 'The wanted day, where it differs from that of the question.' }),
    latestServeOn: t.field({ type: 'LocalDate', description: recorded('OrderLine', 'latestServeOn') }),
    priority: t.int({ description: recorded('OrderLine', 'priority') }),
    splittable: t.boolean({ description: recorded('OrderLine', 'splittable') }),
  }),
})

const PromiseInput = builder.inputType('PromiseInput', {
  description: 'A question: when can this account have these?',
  fields: (t) => ({
    account: t.field({ type: ThingRefInput, required: true, description: 'Who asks; a route must serve it (B2).' }),
    serveOn: t.field({
      type: 'LocalDate',
      description: 'The wanted day, from today to the end of the horizon. Absent: as early as can be.',
    }),
    lines: t.field({
      type: [PromiseLineInput],
      required: true,
      description: `What is wanted; at least one line and at most ${MOST_LINES}.`,
    }),
  }),
})

builder.queryField('promise', (t) =>
  t.field({
    ...needs('orders:read', 'When can this account have these? Asked of the plan in force, in which nothing moves.'),
    type: Answer,
    args: { input: t.arg({ type: PromiseInput, required: true, description: 'The question.' }) },
    resolve: (_root, { input }, { planning }) => promise(planning, input),
  }),
)
