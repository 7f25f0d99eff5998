// What a plan decides otherwise than another, so that a planner can read what is to be done otherwise, and for which accounts.
import type {
  DecisionChange,
  DecisionSummary,
  LineChange,
  LineService,
  PlanDifferences,
} from '../../resolvers/plans/compare-plans.ts'
import { builder } from '../builder.ts'
import { ReasonType } from '../errors.ts'
import { DecisionKind } from '../order-words.ts'
import { MOST_REASONS } from '../orders/order-line.ts'
import { rowType } from '../row-type.ts'
import { MOST_ENTRIES } from './plan-loads.ts'

const Part = builder.enumType('DecisionPart', {
  description: 'What of a decision is another.',
  values: {
    DAY: { description: 'The day.' },
    AMOUNT: { description: 'The litres of a brew or a transfer, the containers of a fill run.' },
    BEER: { description: 'The beer.' },
    VESSEL: { description: 'The vessel that a brew or a transfer goes into.' },
    BATCH: { description: 'The batch, or the planned brew, that beer is taken from.' },
    FILLER: { description: 'The filler.' },
    PACK: { description: 'The pack.' },
  },
})

const Summary = builder.objectRef<DecisionSummary>('DecisionSummary').implement({
  description: 'A decision in short.',
  fields: (t) => ({
    decision: t.exposeString('id', { description: "The decision's name within its plan." }),
    on: t.expose('on', { type: 'LocalDate', description: 'The day.' }),
    amount: t.exposeFloat('amount', { description: 'Litres of a brew or a transfer; containers of a fill run.' }),
    beer: t.field({
      type: rowType('Beer'),
      nullable: true,
      description: 'The beer of a brew. Absent: it is no brew.',
      resolve: ({ beerId }, _args, { rows }) => (beerId === null ? null : rows.beer.load(beerId)),
    }),
    vessel: t.field({
      type: rowType('Vessel'),
      nullable: true,
      description: 'The vessel that a brew or a transfer goes into. Absent: it is a fill run.',
      resolve: ({ vesselId }, _args, { rows }) => (vesselId === null ? null : rows.vessel.load(vesselId)),
    }),
    batch: t.field({
      type: rowType('Batch'),
      nullable: true,
      description: 'The existing batch that beer is taken from. Absent: it is a brew, or taken from one.',
      resolve: ({ batchId, isPlanned }, _args, { rows }) =>
        batchId === null || isPlanned ? null : rows.batch.load(batchId),
    }),
    brew: t.string({
      nullable: true,
      description: 'The name of the planned brew that beer is taken from. Absent: it is taken from none.',
      resolve: ({ batchId, isPlanned }) => (isPlanned ? batchId : null),
    }),
    filler: t.field({
      type: rowType('Filler'),
      nullable: true,
      description: 'The filler of a fill run. Absent: it is none.',
      resolve: ({ fillerId }, _args, { rows }) => (fillerId === null ? null : rows.filler.load(fillerId)),
    }),
    pack: t.field({
      type: rowType('Pack'),
      nullable: true,
      description: 'The pack of a fill run. Absent: it is none.',
      resolve: ({ packId }, _args, { rows }) => (packId === null ? null : rows.pack.load(packId)),
    }),
  }),
})

const Change = builder.objectRef<DecisionChange>('DecisionChange').implement({
  description: 'A decision that two plans do not share.',
  fields: (t) => ({
    kind: t.expose('kind', { type: DecisionKind, description: 'What it is.' }),
    decision: t.exposeString('id', {
      description: "The decision's name within this plan; in the other where it is gone.",
    }),
    before: t.expose('before', { type: Summary, nullable: true, description: 'In the other plan. Absent: new.' }),
    after: t.expose('after', { type: Summary, nullable: true, description: 'In this plan. Absent: gone.' }),
    changed: t.expose('changed', { type: [Part], description: 'What of it is another, where it moved; at most 7.' }),
    reasons: t.field({
      type: [ReasonType],
      description: `Why, where the other plan is the baseline and this one says so (F1); at most ${MOST_REASONS}.`,
      resolve: ({ reasons }) => reasons.slice(0, MOST_REASONS),
    }),
  }),
})

const LineServiceType = builder.objectRef<LineService>('LineService').implement({
  description: 'How a plan serves an order line.',
  fields: (t) => ({
    quantity: t.exposeInt('quantity', { description: 'Whole containers that it delivers.' }),
    serveOn: t.expose('serveOn', {
      type: 'LocalDate',
      nullable: true,
      description: 'The day on which the last of them is served. Absent: none is.',
    }),
  }),
})

const LineChangeType = builder.objectRef<LineChange>('LineChange').implement({
  description: 'An order line that two plans serve otherwise.',
  fields: (t) => ({
    orderLine: t.field({
      type: rowType('OrderLine'),
      nullable: true,
      description: 'The order line.',
      resolve: ({ orderLineId }, _args, { rows }) => rows.orderLine.load(orderLineId),
    }),
    before: t.expose('before', { type: LineServiceType, description: 'In the other plan.' }),
    after: t.expose('after', { type: LineServiceType, description: 'In this plan.' }),
  }),
})

export const PlanDifferencesType = builder.objectRef<PlanDifferences>('PlanDifferences').implement({
  description: 'What a plan decides otherwise than another.',
  fields: (t) => {
    const list = (which: 'added' | 'moved' | 'dropped', description: string) =>
      t.field({
        type: [Change],
        description: `${description}; at most ${MOST_ENTRIES}.`,
        resolve: (differences) => differences[which].slice(0, MOST_ENTRIES),
      })
    return {
      added: list('added', 'Decisions that only this plan has'),
      moved: list('moved', 'Decisions of another day, beer, vessel, batch, filler, pack or amount'),
      dropped: list('dropped', 'Decisions that only the other plan has'),
      lines: t.field({
        type: [LineChangeType],
        description: `Order lines that are served on another day or with another quantity; at most ${MOST_ENTRIES}.`,
        resolve: ({ lines }) => lines.slice(0, MOST_ENTRIES),
      }),
    }
  },
})
