// Traces: from one thing to everything that its beer went into and came from.
import {
  MOST_TRACED,
  type Relation,
  type TracedDelivery,
  type TracedStep,
  type TracedThing,
  type TraceView,
  trace,
} from '../../resolvers/floor/trace.ts'
import { builder } from '../builder.ts'
import { needs } from '../needs.ts'
import { rowType } from '../row-type.ts'
import { OrderRefInput, ThingRefInput } from '../thing-ref.ts'
import { FactKindType } from './fact-kind.ts'

const RELATIONS: Record<Relation, string> = {
  ASKED: 'It is what was asked for.',
  BEFORE: 'Its beer went into what was asked for.',
  AFTER: 'It has beer of what was asked for.',
}

const RelationType = builder.enumType('TraceRelation', {
  description: 'Where a thing or a movement stands in a trace.',
  values: Object.fromEntries(Object.entries(RELATIONS).map(([name, description]) => [name, { description }])),
})

const relation = { type: RelationType, description: 'Where it stands in the trace.' }

export const LOT_CODE =
  'A stock lot by the code that stands on its casks, 1 to 200 characters. Of a code of ours a wrong check character (ISO/IEC 7064 MOD 37,36) is refused: WRONG_CHECK_CHARACTER.'

export const TraceByInput = builder.inputType('TraceByInput', {
  description: 'One thing that is traced: exactly one of these.',
  isOneOf: true,
  fields: (t) => ({
    lot: t.field({ type: ThingRefInput, description: 'A stock lot.' }),
    lotCode: t.string({ description: LOT_CODE }),
    batch: t.field({ type: ThingRefInput, description: 'A batch.' }),
    orderLine: t.field({ type: ThingRefInput, description: 'What left for an order line.' }),
    order: t.field({ type: OrderRefInput, description: 'What left for the lines of an order.' }),
    account: t.field({ type: ThingRefInput, description: 'What an account got.' }),
  }),
})

/** From which day on a trace or a recall is asked for. */
export const SINCE = {
  type: 'LocalDate',
  description:
    'Only what came to it, or left it, on this day or later; what those things came from is whole. Absent: all.',
} as const

const TracedBatchType = builder.objectRef<TracedThing>('TracedBatch').implement({
  description: 'A batch of a trace.',
  fields: (t) => ({
    relation: t.field({ ...relation, resolve: (each) => each.relation }),
    batch: t.field({
      type: rowType('Batch'),
      nullable: true,
      description: 'The batch.',
      resolve: ({ id }, _args, { rows }) => rows.batch.load(id),
    }),
  }),
})

const TracedLotType = builder.objectRef<TracedThing>('TracedLot').implement({
  description: 'A stock lot of a trace.',
  fields: (t) => ({
    relation: t.field({ ...relation, resolve: (each) => each.relation }),
    lot: t.field({
      type: rowType('StockLot'),
      nullable: true,
      description: 'The lot.',
      resolve: ({ id }, _args, { rows }) => rows.stockLot.load(id),
    }),
  }),
})

const TracedAccountType = builder.objectRef<TracedThing>('TracedAccount').implement({
  description: 'An account of a trace.',
  fields: (t) => ({
    relation: t.field({ ...relation, resolve: (each) => each.relation }),
    account: t.field({
      type: rowType('Account'),
      nullable: true,
      description: 'The account.',
      resolve: ({ id }, _args, { rows }) => rows.account.load(id),
    }),
  }),
})

const TracedDeliveryType = builder.objectRef<TracedDelivery>('TracedDelivery').implement({
  description: 'Containers of one lot that left for one order line.',
  fields: (t) => ({
    relation: t.field({ ...relation, resolve: (each) => each.relation }),
    orderLine: t.field({
      type: rowType('OrderLine'),
      nullable: true,
      description: 'The order line. Scope: `orders:read`.',
      resolve: ({ orderLineId }, _args, { rows }) => rows.orderLine.load(orderLineId),
    }),
    lot: t.field({
      type: rowType('StockLot'),
      nullable: true,
      description: 'The lot.',
      resolve: ({ lotId }, _args, { rows }) => rows.stockLot.load(lotId),
    }),
    dispatched: t.exposeInt('dispatched', { description: 'Whole containers that left, those that came back too.' }),
    delivered: t.exposeInt('delivered', { description: 'Whole containers that arrived at the account.' }),
  }),
})

const TraceStepType = builder.objectRef<TracedStep>('TraceStep').implement({
  description: 'A movement of beer: between batches, into a lot, onto the road, or to an account.',
  fields: (t) => ({
    relation: t.field({ ...relation, resolve: (each) => each.relation }),
    kind: t.field({ type: FactKindType, description: 'The kind of fact that says it.', resolve: (each) => each.kind }),
    on: t.expose('on', { type: 'LocalDate', description: 'The day on which it counts.' }),
    fact: t.field({
      type: rowType('Fact'),
      nullable: true,
      description: 'The fact that says it.',
      resolve: ({ factId }, _args, { rows }) => rows.fact.load(factId),
    }),
    litres: t.float({
      nullable: true,
      description: 'Litres that moved. Absent: containers did.',
      resolve: ({ millilitres }) => (millilitres === undefined ? null : millilitres / 1000),
    }),
    quantity: t.int({
      nullable: true,
      description: 'Whole containers that moved. Absent: litres did.',
      resolve: ({ containers }) => containers ?? null,
    }),
    fromBatch: t.field({
      type: rowType('Batch'),
      nullable: true,
      description: 'The batch that it left. Absent: it left a lot or the road.',
      resolve: ({ fromBatchId: id }, _args, { rows }) => (id === undefined ? null : rows.batch.load(id)),
    }),
    toBatch: t.field({
      type: rowType('Batch'),
      nullable: true,
      description: 'The batch that it came to. Absent: it came to no batch.',
      resolve: ({ toBatchId: id }, _args, { rows }) => (id === undefined ? null : rows.batch.load(id)),
    }),
    lot: t.field({
      type: rowType('StockLot'),
      nullable: true,
      description: 'The lot. Absent: between batches.',
      resolve: ({ lotId: id }, _args, { rows }) => (id === undefined ? null : rows.stockLot.load(id)),
    }),
    orderLine: t.field({
      type: rowType('OrderLine'),
      nullable: true,
      description: 'The order line for which it left. Absent: it stayed. Scope: `orders:read`.',
      resolve: ({ orderLineId: id }, _args, { rows }) => (id === undefined ? null : rows.orderLine.load(id)),
    }),
    account: t.field({
      type: rowType('Account'),
      nullable: true,
      description: 'The account at which it arrived. Absent: at none.',
      resolve: ({ accountId: id }, _args, { rows }) => (id === undefined ? null : rows.account.load(id)),
    }),
  }),
})

/** Traces are short, and long where they are needed: what a list costs is reckoned as so many. */
const USUAL_LENGTH = 30
const most = `; at most ${MOST_TRACED}`

const TraceType = builder.objectRef<TraceView>('Trace').implement({
  description: 'Everything that beer of one thing went into and came from, as the ledger has it.',
  fields: (t) => {
    const list = { complexity: { field: 1, multiplier: USUAL_LENGTH } }
    return {
      revision: t.exposeInt('revision', { description: "The distributor's revision that it was read from." }),
      isComplete: t.exposeBoolean('isComplete', {
        description: `Whether all of it is there; false where there is more than ${MOST_TRACED / 2} movements in a direction: then ask by something nearer, or from a later day.`,
      }),
      batches: t.field({
        ...list,
        type: [TracedBatchType],
        description: `The batches${most}.`,
        resolve: (each) => each.batches,
      }),
      lots: t.field({
        ...list,
        type: [TracedLotType],
        description: `The stock lots${most}.`,
        resolve: (each) => each.lots,
      }),
      deliveries: t.field({
        ...list,
        type: [TracedDeliveryType],
        description: `What left for order lines, by lot${most}.`,
        resolve: (each) => each.deliveries,
      }),
      accounts: t.field({
        ...list,
        type: [TracedAccountType],
        description: `The accounts at which it arrived${most}.`,
        resolve: (each) => each.accounts,
      }),
      steps: t.field({
        ...list,
        type: [TraceStepType],
        description: `The movements in the order of what happened${most}.`,
        resolve: (each) => each.steps,
      }),
    }
  },
})

builder.queryField('trace', (t) =>
  t.field({
    ...needs(
      'plan:read',
      'From a lot, a batch, a delivery or an account to everything that its beer went into and came from, both ways. What was corrected or withdrawn is no part of it.',
    ),
    type: TraceType,
    nullable: true,
    args: { by: t.arg({ type: TraceByInput, required: true, description: 'From where.' }), since: t.arg(SINCE) },
    complexity: { field: 50, multiplier: 1 },
    resolve: async (_root, { by, since }, context) => trace(await context.askPlanner(), { by, since }),
  }),
)
