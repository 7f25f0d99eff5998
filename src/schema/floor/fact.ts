// Facts: what happened, as someone said it or as it was assumed. Their type and the node.
import type { $Enums } from '../../database/client.ts'
import { type FactAmounts, factAmounts, type KeptWarning, warningsOf } from '../../resolvers/floor/fact-view.ts'
import { builder } from '../builder.ts'
import { rowType } from '../row-type.ts'
import type { Rows } from '../rows.ts'
import { rowKey } from '../setup/setup.ts'
import { recorded } from '../setup/setup-inputs.ts'
import { FactKindType } from './fact-kind.ts'

/** Most things of one kind that one fact is about: a delivery names at most 100 lots. */
const MOST_SUBJECTS = 100
/** Most warnings of one fact that are shown. */
const MOST_WARNINGS = 100

const WarningType = builder.objectRef<KeptWarning>('FactWarning').implement({
  description: 'Something that was taken otherwise than said, or that people should look at.',
  fields: (t) => ({
    code: t.exposeString('code', { description: 'A stable code to branch on, such as `MORE_THAN_KNOWN`.' }),
    message: t.exposeString('message', { description: 'The same in a sentence.' }),
  }),
})

interface Carried {
  kind: string
  name: string
}

const CarriedType = builder.objectRef<Carried>('CarriedOutDecision').implement({
  description: 'The planned decision that a fact carries out.',
  fields: (t) => ({
    kind: t.exposeString('kind', { description: '`BREW`, `TRANSFER`, `FILL_RUN`, `DUMP` or `DELIVERY`.' }),
    decision: t.exposeString('name', {
      description: "The decision's name within the plan that was in force; of a delivery, the order line's.",
    }),
  }),
})

builder.prismaNode('Fact', {
  // A key that records facts may read them in the answer.
  authScopes: (_fact, { caller }) => ({ scope: caller.scopes.has('floor:write') ? 'floor:write' : 'plan:read' }),
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    kind: t.field({ type: FactKindType, description: 'What happened.', resolve: ({ kind }) => kind }),
    site: t.field({
      type: rowType('Site'),
      nullable: true,
      description: 'The site at which it happened.',
      resolve: ({ siteId }, _args, { rows }) => rows.site.load(siteId),
    }),
    on: t.expose('on', { type: 'LocalDate' }),
    at: t.expose('at', { type: 'DateTime', nullable: true }),
    reference: t.exposeString('reference', { nullable: true }),
    saidBy: t.exposeString('saidBy'),
    assumed: t.exposeBoolean('assumed'),
    due: t.exposeBoolean('due'),
    revision: t.exposeInt('revision'),
    updatedAt: t.expose('updatedAt', { type: 'DateTime' }),
    recordedAt: t.expose('recordedAt', { type: 'DateTime' }),
    warnings: t.field({
      type: [WarningType],
      description: `${recorded('Fact', 'warnings')} At most ${MOST_WARNINGS}.`,
      resolve: ({ warnings }) => warningsOf(warnings).slice(0, MOST_WARNINGS),
    }),
    carriesOut: t.field({
      type: CarriedType,
      nullable: true,
      description: 'The planned decision that it carries out. Absent: none was planned.',
      resolve: ({ decisionKind: kind, decisionId: name }) => (kind === null || name === null ? null : { kind, name }),
    }),
  }),
})

// Whether it still counts.
builder.prismaObjectFields('Fact', (t) => ({
  counts: t.boolean({
    description: 'Whether it counts: no other fact replaces or withdraws it, and it is no withdrawal itself.',
    resolve: ({ replacedById, withdraws }) => replacedById === null && !withdraws,
  }),
  corrects: t.field({
    type: rowType('Fact'),
    nullable: true,
    description: 'The fact that it corrects. Absent: it is no correction.',
    resolve: ({ correctsId }, _args, { rows }) => (correctsId === null ? null : rows.fact.load(correctsId)),
  }),
  withdraws: t.exposeBoolean('withdraws', { description: recorded('Fact', 'withdraws') }),
  correctedBy: t.field({
    type: rowType('Fact'),
    nullable: true,
    description:
      'The newest fact that says it otherwise: that replaces it, says that it did not happen, or says what was assumed. Absent: none does.',
    resolve: ({ replacedById }, _args, { rows }) => (replacedById === null ? null : rows.fact.load(replacedById)),
  }),
}))

// What it says, in numbers. A withdrawal says none.
builder.prismaObjectFields('Fact', (t) => {
  const said = <Key extends keyof FactAmounts>(row: { data: unknown }, key: Key): FactAmounts[Key] | null =>
    factAmounts(row.data)[key] ?? null
  return {
    litres: t.float({
      nullable: true,
      description: 'Litres brewed, moved, poured away or measured. Absent: it says none, or all that was there.',
      resolve: (row) => said(row, 'litres'),
    }),
    quantity: t.int({
      nullable: true,
      description: 'Whole containers. Absent: it is about none.',
      resolve: (row) => said(row, 'quantity'),
    }),
    unfit: t.int({
      nullable: true,
      description: 'Whole containers that were spoiled at the fill, or came back unfit. Absent: it says none.',
      resolve: (row) => said(row, 'unfit'),
    }),
    gravity: t.float({
      nullable: true,
      description: 'Specific gravity. Absent: it says none.',
      resolve: (row) => said(row, 'gravity'),
    }),
    celsius: t.float({
      nullable: true,
      description: 'Temperature, degrees Celsius. Absent: it says none.',
      resolve: (row) => said(row, 'celsius'),
    }),
    bar: t.float({
      nullable: true,
      description: 'Pressure above the atmosphere, bar. Absent: it says none.',
      resolve: (row) => said(row, 'bar'),
    }),
    co2Volumes: t.float({
      nullable: true,
      description: 'Volumes of CO₂ dissolved, as an instrument showed. Absent: it says none.',
      resolve: (row) => said(row, 'co2Volumes'),
    }),
    until: t.field({
      type: 'LocalDate',
      nullable: true,
      description: 'Last day that a vessel is out. Absent: it says none.',
      resolve: (row) => said(row, 'until'),
    }),
    why: t.string({ nullable: true, description: 'Why. Absent: not said.', resolve: (row) => said(row, 'why') }),
  }
})

/** The things of one kind that a fact is about, of so many as are shown. */
async function about<Row>(
  { id }: { id: string },
  kind: $Enums.FactSubjectKind,
  { subjects }: Rows,
  loader: { load: (id: string) => Promise<Row | null> },
): Promise<Row[]> {
  const named = (await subjects.load(id)).filter((each) => each.kind === kind).slice(0, MOST_SUBJECTS)
  const found = await Promise.all(named.map(({ subjectId }) => loader.load(subjectId)))
  return found.flatMap((row) => (row === null ? [] : [row]))
}

// What it is about.
builder.prismaObjectFields('Fact', (t) => ({
  batches: t.field({
    type: [rowType('Batch')],
    description: `The batches that it is about; at most ${MOST_SUBJECTS}.`,
    resolve: (fact, _args, { rows }) => about(fact, 'BATCH', rows, rows.batch),
  }),
  lots: t.field({
    type: [rowType('StockLot')],
    description: `The stock lots that it is about; at most ${MOST_SUBJECTS}.`,
    resolve: (fact, _args, { rows }) => about(fact, 'LOT', rows, rows.stockLot),
  }),
  vessels: t.field({
    type: [rowType('Vessel')],
    description: `The vessels that it is about; at most ${MOST_SUBJECTS}.`,
    resolve: (fact, _args, { rows }) => about(fact, 'VESSEL', rows, rows.vessel),
  }),
  orderLine: t.field({
    type: rowType('OrderLine'),
    nullable: true,
    description: 'The order line that it is about. Absent: none. Scope: `orders:read`.',
    resolve: async (fact, _args, { rows }) => (await about(fact, 'ORDER_LINE', rows, rows.orderLine))[0],
  }),
  account: t.field({
    type: rowType('Account'),
    nullable: true,
    description: 'The account that it is about. Absent: none.',
    resolve: async (fact, _args, { rows }) => (await about(fact, 'ACCOUNT', rows, rows.account))[0],
  }),
  route: t.field({
    type: rowType('Route'),
    nullable: true,
    description: 'The route that it is about. Absent: none.',
    resolve: async (fact, _args, { rows }) => (await about(fact, 'ROUTE', rows, rows.route))[0],
  }),
}))
