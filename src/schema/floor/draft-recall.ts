// A recall in one act, and the draft that replaces what was promised.
import {
  type AccountToCall,
  type DraftedRecall,
  draftRecall,
  type LotToCall,
} from '../../resolvers/floor/draft-recall.ts'
import { MOST_ENTRIES } from '../../resolvers/floor/recall.ts'
import { nameOfKey } from '../../resolvers/floor/said-by.ts'
import { callWords, recallWords } from '../../words/recall-words.ts'
import { builder } from '../builder.ts'
import { WRITE_ERRORS } from '../errors.ts'
import { needs } from '../needs.ts'
import { EffortInput } from '../plans/plan-mutations.ts'
import { repairFields } from '../plans/repair-fields.ts'
import { rowType } from '../row-type.ts'
import { rowKey } from '../setup/setup.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { why } from './fact-words.ts'
import { lotOfLineFields, RecallType } from './recall.ts'
import { LOT_CODE, SINCE } from './trace.ts'

const LotToCallType = builder.objectRef<LotToCall>('LotToCall').implement({
  description: 'Containers of a lot that were called back from an order line.',
  fields: (t) => ({
    ...lotOfLineFields(t),
  }),
})

const AccountToCallType = builder.objectRef<AccountToCall>('AccountToCall').implement({
  description: 'An account from which beer was called back: whom to ring.',
  fields: (t) => ({
    account: t.field({
      type: rowType('Account'),
      nullable: true,
      description: 'The account.',
      resolve: ({ accountId }, _args, { rows }) => rows.account.load(accountId),
    }),
    onRoad: t.exposeInt('onRoad', { description: 'Whole containers on the road to it: they are held.' }),
    atAccount: t.exposeInt('atAccount', { description: 'Whole containers that it has.' }),
    words: t.string({
      description: 'What to say to it.',
      resolve: async ({ lots, again }, _args, { rows }) => {
        const named = await Promise.all(
          lots.map(async ({ lotId, onRoad, atAccount }) => {
            const lot = await rows.stockLot.load(lotId)
            const pack = lot && (await rows.pack.load(lot.packId))
            return { pack: pack?.name ?? '', code: lot?.code ?? '', onRoad, atAccount }
          }),
        )
        return callWords(named, again)
      },
    }),
    lots: t.field({
      type: [LotToCallType],
      description: `By lot and order line; at most ${MOST_ENTRIES}.`,
      complexity: { field: 1, multiplier: 3 },
      resolve: ({ lots }) => lots,
    }),
  }),
})

const DraftRecallPayload = builder.objectRef<DraftedRecall>('DraftRecallPayload').implement({
  description: 'What was called back and kept back, the plan in force that was repaired with it, and the draft.',
  fields: (t) => ({
    revision: t.exposeInt('revision', { description: "The distributor's revision since the write." }),
    words: t.stringList({
      description: 'What was done, in a few sentences; at most 10.',
      resolve: ({ toCall, calledBefore, list: { lots }, noDraft }) => {
        const total = (key: 'here' | 'gone') => lots.reduce((sum, each) => sum + each[key], 0)
        const called = toCall.reduce((sum, { onRoad, atAccount }) => sum + onRoad + atAccount, 0)
        const counts = { accounts: toCall.length, called, calledBefore, here: total('here'), gone: total('gone') }
        return recallWords({ ...counts, lots: lots.length, noDraft })
      },
    }),
    accounts: t.field({
      type: [AccountToCallType],
      description: `The accounts from which it was called back now, those that have most of it first; what was called back before is in \`recall\`. At most ${MOST_ENTRIES}.`,
      complexity: { field: 1, multiplier: 50 },
      resolve: ({ toCall }) => toCall,
    }),
    calledBefore: t.exposeInt('calledBefore', {
      description: 'Whole containers that were called back before and are out still.',
    }),
    recall: t.field({
      type: RecallType,
      description: 'The recall list since.',
      resolve: ({ list, revision }) => ({ ...list, revision }),
    }),
    keptBackLots: t.field({
      type: [rowType('StockLot')],
      description: `The lots that were kept back by it (V8), not those that were before; at most ${MOST_ENTRIES}.`,
      resolve: async ({ keptBackLotIds }, _args, { rows }) => {
        const found = await Promise.all(keptBackLotIds.map((id) => rows.stockLot.load(id)))
        return found.flatMap((lot) => lot ?? [])
      },
    }),
    keptBackBatches: t.field({
      type: [rowType('Batch')],
      description: `The batches that were kept back by it (V8), not those that were before; at most ${MOST_ENTRIES}.`,
      resolve: async ({ keptBackBatchIds }, _args, { rows }) => {
        const found = await Promise.all(keptBackBatchIds.map((id) => rows.batch.load(id)))
        return found.flatMap((batch) => batch ?? [])
      },
    }),
    ...repairFields(t),
    plan: t.prismaField({
      type: 'Plan',
      nullable: true,
      description:
        'The draft that replaces what was promised: ask for it by its id until it is a DRAFT, then adopt it. Absent: `words` say why none was begun.',
      resolve: (query, { planId }, _args, context) =>
        planId === undefined
          ? null
          : context.client.plan.findUniqueOrThrow({ ...query, where: rowKey(context, planId) }),
    }),
  }),
})

const RecallOfInput = builder.inputType('RecallOfInput', {
  description: 'What is recalled: exactly one of these.',
  isOneOf: true,
  fields: (t) => ({
    lot: t.field({ type: ThingRefInput, description: 'A stock lot.' }),
    lotCode: t.string({ description: LOT_CODE }),
    batch: t.field({
      type: ThingRefInput,
      description: 'A batch, with the batches that were blended from it and every lot that was filled of them.',
    }),
  }),
})

const DraftRecallInput = builder.inputType('DraftRecallInput', {
  description: 'What is recalled, and what becomes of what was promised.',
  fields: (t) => ({
    of: t.field({ type: RecallOfInput, required: true, description: 'Of what.' }),
    since: t.field(SINCE),
    again: t.boolean({
      required: true,
      description:
        'Whether as many are sent again: promised still, and at risk until a plan serves them; false: closed.',
    }),
    why: t.field(why),
    effort: t.field({ type: EffortInput, description: 'How long to search for the draft.' }),
    seed: t.int({ description: 'Seed of the search, 0 or more; 1 where not given.' }),
  }),
})

builder.mutationField('draftRecall', (t) =>
  t.field({
    ...needs(
      'plan:write',
      'Recalls beer in one act: keeps the lots back, and the batch where one is named; calls back what is on the road or at accounts, line by line, as `recordRecall` does; repairs the plan in force in the same step; and begins a draft that replaces what was promised. Asked again it calls back what is new alone, and begins a draft where something is.',
    ),
    type: DraftRecallPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: DraftRecallInput, required: true, description: 'What is recalled.' }) },
    resolve: async (_root, { input }, { planning, client, caller }) =>
      draftRecall(planning, input, await nameOfKey(client, caller)),
  }),
)
