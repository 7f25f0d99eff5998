// The load sheet of a route and a day.
import { readLoadSheet } from '../../resolvers/sheets/load-sheet.ts'
import type { Drop, Empties, LoadedLine, LoadedLot, LoadSheet } from '../../sheets/load-sheet.ts'
import { builder } from '../builder.ts'
import { needs } from '../needs.ts'
import { rowType } from '../row-type.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { CAUTIONS } from './caution.ts'
import { MOST, nextWork, sheetHead } from './sheet-head.ts'

const LoadedLotType = builder.objectRef<LoadedLot>('LoadedLot').implement({
  description: 'Containers of one lot.',
  fields: (t) => ({
    code: t.exposeString('code', {
      description: 'The code on the containers; of what is yet to be filled the code that it will have.',
    }),
    quantity: t.exposeInt('quantity', { description: 'Whole containers.' }),
    bestBefore: t.expose('bestBefore', { type: 'LocalDate', description: 'Best before (B4).' }),
  }),
})

const LoadedLineType = builder.objectRef<LoadedLine>('LoadedLine').implement({
  description: 'What leaves for one order line.',
  fields: (t) => ({
    orderLine: t.field({
      type: rowType('OrderLine'),
      nullable: true,
      description: 'The order line. Scope: `orders:read`.',
      resolve: ({ orderLineId }, _args, { rows }) => rows.orderLine.load(orderLineId),
    }),
    pack: t.field({
      type: rowType('Pack'),
      nullable: true,
      description: 'The pack.',
      resolve: ({ packId }, _args, { rows }) => rows.pack.load(packId),
    }),
    quantity: t.exposeInt('quantity', { description: 'Whole containers.' }),
    lots: t.field({
      type: [LoadedLotType],
      description: `From which lots; at most ${MOST}.`,
      complexity: { field: 1, multiplier: 3 },
      resolve: ({ lots }) => lots.slice(0, MOST),
    }),
    litres: t.exposeFloat('litres', { description: 'Nominal litres.' }),
    serveOn: t.expose('serveOn', { type: 'LocalDate', description: 'The day on which it is served.' }),
    settleUntil: t.expose('settleUntil', {
      type: 'LocalDate',
      description: "It rests in the account's cellar until this day (B1).",
    }),
    isSaid: t.exposeBoolean('isSaid', { description: 'Whether a fact says that it has left.' }),
  }),
})

const EmptiesType = builder.objectRef<Empties>('EmptiesAtAccount').implement({
  description: 'Containers of earlier deliveries that an account has.',
  fields: (t) => ({
    containerType: t.field({
      type: rowType('ContainerType'),
      nullable: true,
      description: 'The container.',
      resolve: ({ containerTypeId }, _args, { rows }) => rows.containerType.load(containerTypeId),
    }),
    atAccount: t.exposeInt('atAccount', {
      description: 'Whole containers, empty ones and those that are still in use.',
    }),
    overdue: t.exposeInt('overdue', { description: 'Those of them that should have come back already.' }),
  }),
})

const kilograms = (weight: { kg?: number }) => weight.kg ?? null
const WEIGHT = 'Kilograms with the beer in it. Absent: the tare of a container is not set up.'

const DropType = builder.objectRef<Drop>('Drop').implement({
  description: 'What one account gets, and what comes back from it.',
  fields: (t) => ({
    account: t.field({
      type: rowType('Account'),
      nullable: true,
      description: 'The account, with its notes.',
      resolve: ({ account }, _args, { rows }) => rows.account.load(account.id),
    }),
    windows: t.stringList({
      description: 'When it takes deliveries on the day, such as `08:00–10:30`; at most 20. Empty: at any time.',
      resolve: ({ account }) => [...account.windows],
    }),
    lines: t.field({
      type: [LoadedLineType],
      description: `What it gets; at most ${MOST}.`,
      complexity: { field: 1, multiplier: 3 },
      resolve: ({ lines }) => lines.slice(0, MOST),
    }),
    empties: t.field({
      type: [EmptiesType],
      description: `What it has of earlier deliveries, by type; at most ${MOST}.`,
      complexity: { field: 1, multiplier: 2 },
      resolve: ({ empties }) => empties.slice(0, MOST),
    }),
    litres: t.exposeFloat('litres', { description: 'Nominal litres.' }),
    weightKg: t.float({ nullable: true, description: WEIGHT, resolve: ({ weight }) => kilograms(weight) }),
  }),
})

const LoadSheetType = builder.objectRef<LoadSheet>('LoadSheet').implement({
  description: 'What leaves on a route on a day, drop by drop.',
  fields: (t) => ({
    ...sheetHead(t),
    nextDay: nextWork(t),
    route: t.field({
      type: rowType('Route'),
      nullable: true,
      description: 'The route.',
      resolve: ({ routeId }, _args, { rows }) => rows.route.load(routeId),
    }),
    drops: t.field({
      type: [DropType],
      description: `Accounts in the order of the drops; at most ${MOST}.`,
      complexity: { field: 1, multiplier: 15 },
      resolve: ({ drops }) => drops.slice(0, MOST),
    }),
    litres: t.exposeFloat('litres', { description: 'Nominal litres of all of it.' }),
    weightKg: t.float({ nullable: true, description: WEIGHT, resolve: ({ weight }) => kilograms(weight) }),
    withoutTare: t.stringList({
      description: `Containers whose tare is not set up, so that no weight can be said; at most ${MOST}.`,
      resolve: ({ weight }) => weight.missing.slice(0, MOST),
    }),
    cautions: t.field(CAUTIONS),
  }),
})

builder.queryField('loadSheet', (t) =>
  t.field({
    ...needs('plan:read', 'What leaves on a route on a day, drop by drop, by the plan in force and by what has left.'),
    type: LoadSheetType,
    nullable: true,
    args: {
      route: t.arg({ type: ThingRefInput, required: true, description: 'The route.' }),
      day: t.arg({ type: 'LocalDate', description: "The day. Absent: the site's today." }),
    },
    complexity: { field: 50, multiplier: 1 },
    resolve: async (_root, args, context) => readLoadSheet(await context.askPlanner(), args),
  }),
)
