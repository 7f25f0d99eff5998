// How a line would be served: what the beer is taken from, when it is filled, sent out and fit to serve, and what limits it.
import type { PromisedLine, TrialDelivery, TrialSource } from '../../resolvers/promise/offer.ts'
import { builder } from '../builder.ts'
import { EXPLAINED_LINE, usually } from '../costs.ts'
import { ReasonType } from '../errors.ts'
import { MOST_REASONS } from '../orders/order-line.ts'
import { rowType } from '../row-type.ts'

const SourceKind = builder.enumType('SourceKind', {
  description: 'Where the beer of a promise comes from.',
  values: {
    STOCK: { description: 'Filled containers in stock.' },
    FILLED: { description: 'Containers that the plan in force fills and that no line takes yet.' },
    BATCH: { description: 'A batch that exists or that the plan in force brews, filled for this.' },
    NEW_BREW: { description: 'A brew that would be added to the plan in force.' },
  },
})

const Source = builder.objectRef<TrialSource>('PromiseSource').implement({
  description: 'So many containers from one source.',
  fields: (t) => ({
    kind: t.expose('kind', { type: SourceKind, description: 'Where it comes from.' }),
    quantity: t.exposeInt('quantity', { description: 'Whole containers.' }),
    fillOn: t.expose('fillOn', {
      type: 'LocalDate',
      nullable: true,
      description: 'The day of the fill (B3). Absent: it is in stock.',
    }),
    readyOn: t.expose('readyOn', {
      type: 'LocalDate',
      description: 'The day from which it is conditioned and fit to leave (B3); it may be over.',
    }),
    brewOn: t.expose('brewOn', {
      type: 'LocalDate',
      nullable: true,
      description: 'The day of the brew (T1), where it is still to be brewed.',
    }),
    stockLot: t.field({
      type: rowType('StockLot'),
      nullable: true,
      description: 'The stock lot, where it is in stock.',
      resolve: ({ stockLotId }, _args, { rows }) => (stockLotId ? rows.stockLot.load(stockLotId) : null),
    }),
    batch: t.field({
      type: rowType('Batch'),
      nullable: true,
      description: 'The batch, where it exists already.',
      resolve: ({ batchId }, _args, { rows }) => (batchId ? rows.batch.load(batchId) : null),
    }),
    vessel: t.field({
      type: rowType('Vessel'),
      nullable: true,
      description: 'The vessel that it is filled from (V4). Absent: it is in stock.',
      resolve: ({ vesselId }, _args, { rows }) => (vesselId ? rows.vessel.load(vesselId) : null),
    }),
    filler: t.field({
      type: rowType('Filler'),
      nullable: true,
      description: 'The filler that fills it (L1). Absent: it is in stock.',
      resolve: ({ fillerId }, _args, { rows }) => (fillerId ? rows.filler.load(fillerId) : null),
    }),
  }),
})

const PromiseDelivery = builder.objectRef<TrialDelivery>('PromiseDelivery').implement({
  description: 'One delivery of a line.',
  fields: (t) => ({
    route: t.field({
      type: rowType('Route'),
      nullable: true,
      description: 'The route (B2).',
      resolve: ({ routeId }, _args, { rows }) => rows.route.load(routeId),
    }),
    dispatchOn: t.expose('dispatchOn', { type: 'LocalDate', description: 'The day on which it leaves (B2).' }),
    fitOn: t.expose('fitOn', {
      type: 'LocalDate',
      description: 'The day from which it has arrived and settled, so that it is fit to serve (B1).',
    }),
    serveOn: t.expose('serveOn', {
      type: 'LocalDate',
      description: 'The day on which it is served: when it is fit to serve, or the wanted day where that is later.',
    }),
    sources: t.field({
      type: [Source],
      description: 'What it takes from where; at most 100.',
      complexity: usually(3),
      resolve: ({ sources }) => sources.slice(0, 100),
    }),
  }),
})

/** The answer for one line of a question, or of an alternative. */
export const PromiseLine = builder.objectRef<PromisedLine>('PromiseLine').implement({
  description: 'The answer for one line.',
  fields: (t) => ({
    pack: t.field({
      type: rowType('Pack'),
      nullable: true,
      description: 'The pack.',
      resolve: ({ packId }, _args, { rows }) => rows.pack.load(packId),
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
      complexity: usually(2),
      resolve: ({ deliveries }) => deliveries,
    }),
    sources: t.field({
      type: [Source],
      description: 'What its deliveries take from where; at most 200.',
      complexity: usually(3),
      resolve: ({ deliveries }) => deliveries.flatMap(({ sources }) => sources).slice(0, 200),
    }),
    limits: t.field({
      type: [ReasonType],
      description: `What binds it where it is not on time (section 9 of the planning rules); at most ${MOST_REASONS}. Where the question names no day, nothing binds a line that is wholly served: its first day is the answer; one that is not says what binds it on the last day on which it is wanted.`,
      complexity: EXPLAINED_LINE,
      resolve: ({ limits }) => limits().slice(0, MOST_REASONS),
    }),
  }),
})
