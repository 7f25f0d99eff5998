// Recall lists: where the containers of lots are, and a lot by the code on its casks.
import { lotByCode } from '../../resolvers/floor/lot-by-code.ts'
import {
  MOST_ENTRIES,
  type RecalledAccount,
  type RecalledAtAccount,
  type RecalledLot,
  type RecallList,
  recall,
} from '../../resolvers/floor/recall.ts'
import { builder } from '../builder.ts'
import { needs } from '../needs.ts'
import { rowType } from '../row-type.ts'
import { rowKey } from '../setup/setup.ts'
import { SINCE, TraceByInput } from './trace.ts'

const CALLED_BACK = 'Whole containers that have been called back, of those that are on the road or at an account.'

const RecalledLotType = builder.objectRef<RecalledLot>('RecalledLot').implement({
  description:
    'Where the containers of a lot are; each is counted in exactly one place, so that all add up to `filled`.',
  fields: (t) => ({
    lot: t.field({
      type: rowType('StockLot'),
      nullable: true,
      description: 'The lot.',
      resolve: ({ lotId }, _args, { rows }) => rows.stockLot.load(lotId),
    }),
    filled: t.exposeInt('filled', {
      description: 'Whole containers that were filled, there at the opening, or found.',
    }),
    here: t.exposeInt('here', { description: 'Whole containers that stand at the site still.' }),
    onRoad: t.exposeInt('onRoad', { description: 'Whole containers that have left and not arrived.' }),
    atAccounts: t.exposeInt('atAccounts', {
      description: 'Whole containers at accounts. Those that came first are taken to have left first.',
    }),
    gone: t.exposeInt('gone', {
      description: 'Whole containers that have left their accounts: they came back, served or not, or were lost there.',
    }),
    destroyed: t.exposeInt('destroyed', { description: 'Whole containers that were emptied away at the site.' }),
    issued: t.exposeInt('issued', {
      description: 'Whole containers that left without an order (own bar, samples, breakage).',
    }),
    lost: t.exposeInt('lost', { description: 'Whole containers that were missing at a count.' }),
    recalled: t.exposeInt('recalled', { description: CALLED_BACK }),
  }),
})

/** Containers of a lot that were for an order line. */
interface LotOfLine {
  lotId: string
  orderLineId: string
  onRoad: number
  atAccount: number
}

type Fields<Shape> = PothosSchemaTypes.ObjectFieldBuilder<typeof builder.$inferSchemaTypes, Shape>

/** The fields that say where containers of a lot for an order line are. */
export const lotOfLineFields = <Shape extends LotOfLine>(t: Fields<Shape>) => ({
  lot: t.field({
    type: rowType('StockLot'),
    nullable: true,
    description: 'The lot.',
    resolve: ({ lotId }, _args, { rows }) => rows.stockLot.load(lotId),
  }),
  orderLine: t.field({
    type: rowType('OrderLine'),
    nullable: true,
    description: 'The order line. Scope: `orders:read`.',
    resolve: ({ orderLineId }, _args, { rows }) => rows.orderLine.load(orderLineId),
  }),
  onRoad: t.int({
    resolve: ({ onRoad }) => onRoad,
    description: 'Whole containers that have left and not arrived.',
  }),
  atAccount: t.int({
    resolve: ({ atAccount }) => atAccount,
    description: 'Whole containers that are at the account.',
  }),
})

const RecalledDeliveryType = builder.objectRef<RecalledAtAccount>('RecalledDelivery').implement({
  description: 'Containers of a lot that left for an order line, without those that were brought back.',
  fields: (t) => ({
    ...lotOfLineFields(t),
    gone: t.exposeInt('gone', { description: 'Whole containers that have left the account.' }),
    recalled: t.exposeInt('recalled', { description: CALLED_BACK }),
    dispatchedOn: t.expose('dispatchedOn', {
      type: 'LocalDate',
      nullable: true,
      description: 'The day on which the last of them left. Absent: the dispatch was withdrawn.',
    }),
    deliveredOn: t.expose('deliveredOn', {
      type: 'LocalDate',
      nullable: true,
      description: 'The day on which the last of them arrived. Absent: none has.',
    }),
  }),
})

const RecalledAccountType = builder.objectRef<RecalledAccount>('RecalledAccount').implement({
  description: 'An account that must hear of a recall.',
  fields: (t) => ({
    account: t.field({
      type: rowType('Account'),
      nullable: true,
      description: 'The account.',
      resolve: ({ accountId }, _args, { rows }) => rows.account.load(accountId),
    }),
    onRoad: t.exposeInt('onRoad', { description: 'Whole containers on the road to it.' }),
    atAccount: t.exposeInt('atAccount', { description: 'Whole containers that it has.' }),
    gone: t.exposeInt('gone', { description: 'Whole containers that have left it again.' }),
    recalled: t.exposeInt('recalled', { description: CALLED_BACK }),
    deliveries: t.field({
      type: [RecalledDeliveryType],
      description: `By lot and order line; at most ${MOST_ENTRIES}.`,
      complexity: { field: 1, multiplier: 3 },
      resolve: ({ deliveries }) => deliveries,
    }),
  }),
})

export const RecallType = builder.objectRef<RecallList & { revision: number }>('Recall').implement({
  description: 'A recall list: where the containers of lots are, and which accounts must hear of it.',
  fields: (t) => ({
    revision: t.exposeInt('revision', { description: "The distributor's revision that it was read from." }),
    isComplete: t.exposeBoolean('isComplete', {
      description: `Whether all of it is there; false where there is more than ${MOST_ENTRIES} movements: then ask lot by lot.`,
    }),
    lots: t.field({
      type: [RecalledLotType],
      description: `The lots; at most ${MOST_ENTRIES}.`,
      complexity: { field: 1, multiplier: 10 },
      resolve: ({ lots }) => lots,
    }),
    accounts: t.field({
      type: [RecalledAccountType],
      description: `The accounts, those that have most of it first; at most ${MOST_ENTRIES}.`,
      complexity: { field: 1, multiplier: 50 },
      resolve: ({ accounts }) => accounts,
    }),
  }),
})

builder.queryFields((t) => ({
  recall: t.field({
    ...needs(
      'plan:read',
      'Where the containers of a lot are, of all lots of a batch, or of the lots that a delivery or an account had: still here, on the road, at which account, or gone.',
    ),
    type: RecallType,
    nullable: true,
    args: { of: t.arg({ type: TraceByInput, required: true, description: 'Of what.' }), since: t.arg(SINCE) },
    complexity: { field: 50, multiplier: 1 },
    resolve: async (_root, { of, since }, context) => recall(await context.askPlanner(), { of, since }),
  }),
  lotByCode: t.prismaField({
    ...needs(
      'any',
      'The stock lot with a code, as a person reads it off a cask: hyphens and capitals do not matter. Of a code of ours a wrong check character (ISO/IEC 7064 MOD 37,36) is refused: WRONG_CHECK_CHARACTER.',
    ),
    type: 'StockLot',
    nullable: true,
    args: { code: t.arg.string({ required: true, description: 'The code, 1 to 200 characters.' }) },
    resolve: async (query, _root, { code }, context) =>
      context.client.stockLot.findUnique({ ...query, where: rowKey(context, await lotByCode(context.actor, code)) }),
  }),
}))
