// What a production planner does with plans: drafts, adopts, fixes and lets go.
import { type Adopted, adoptPlan } from '../../resolvers/plans/adopt-plan.ts'
import { type BrokenPromise, MOST_ACCEPTED } from '../../resolvers/plans/broken-promises.ts'
import { discardPlan } from '../../resolvers/plans/discard-plan.ts'
import { draftPlan } from '../../resolvers/plans/draft-plan.ts'
import { DEFAULT_SECONDS, MOST_SECONDS, MOST_STEPS } from '../../resolvers/plans/effort.ts'
import { fixInPlan, unfixInPlan } from '../../resolvers/plans/fix-in-plan.ts'
import { MOST_WITHOUT } from '../../resolvers/plans/without.ts'
import type { Written } from '../../resolvers/written.ts'
import { builder } from '../builder.ts'
import { ReasonType, WRITE_ERRORS } from '../errors.ts'
import { needs } from '../needs.ts'
import { MOST_REASONS } from '../orders/order-line.ts'
import { CostsInput } from '../setup/distributor.ts'
import { revisionField, rowKey } from '../setup/setup.ts'
import { effortInput } from './plan-effort.ts'
import { WithoutInput } from './plan-without.ts'

const BrokenPromiseType = builder.objectRef<BrokenPromise>('BrokenPromise').implement({
  description: 'A promise that the plan in force before kept and that the adopted plan breaks (F2).',
  fields: (t) => ({
    orderLine: t.prismaField({
      type: 'OrderLine',
      description: 'The order line that was promised.',
      resolve: (query, { orderLineId }, _args, context) =>
        context.client.orderLine.findUniqueOrThrow({ ...query, where: rowKey(context, orderLineId) }),
    }),
    promisedOn: t.expose('promisedOn', { type: 'LocalDate', description: 'The promised day.' }),
    expectedOn: t.expose('expectedOn', {
      type: 'LocalDate',
      nullable: true,
      description: 'The day on which all of it is served now. Absent: it never is.',
    }),
    reasons: t.field({
      type: [ReasonType],
      description: `The rules that bind, and what would help; at most ${MOST_REASONS}.`,
      resolve: ({ reasons }) => reasons.slice(0, MOST_REASONS),
    }),
  }),
})

const PlanPayload = builder.objectRef<Written & Partial<Adopted>>('PlanPayload').implement({
  description: 'A plan that was begun or written.',
  fields: (t) => ({
    revision: revisionField(t),
    brokenPromises: t.field({
      type: [BrokenPromiseType],
      description: `The accepted promises that an adoption breaks; empty for all else. At most ${MOST_ACCEPTED}; the plan's own \`brokenPromises\` lists all.`,
      resolve: ({ brokenPromises = [] }) => brokenPromises.slice(0, MOST_ACCEPTED),
    }),
    plan: t.prismaField({
      type: 'Plan',
      description: 'The plan as it is now.',
      resolve: (query, { id }, _args, context) =>
        context.client.plan.findUniqueOrThrow({ ...query, where: rowKey(context, id) }),
    }),
  }),
})

export const EffortInput = effortInput('EffortInput', 'a draft', MOST_SECONDS, MOST_STEPS)

const DraftPlanInput = builder.inputType('DraftPlanInput', {
  description: 'How a plan is to be drafted from the records as they are now.',
  fields: (t) => ({
    effort: t.field({
      type: EffortInput,
      description: `How long to search; ${DEFAULT_SECONDS} seconds where not given.`,
    }),
    seed: t.int({ description: 'Seed of the search, 0 or more; 1 where not given.' }),
    costs: t.field({ type: CostsInput, description: "Prices that replace the distributor's for this draft." }),
    frozenDays: t.int({
      description:
        "Days from today on which the plan in force stays as it is (F1); nor is a promised line served sooner on them than the plan in force says. Absent: the distributor's.",
    }),
    without: t.field({
      type: [WithoutInput],
      description: `What the draft is to be made without; at most ${MOST_WITHOUT} things.`,
    }),
  }),
})

const AcceptBrokenPromises = builder.inputType('AcceptBrokenPromises', {
  description: 'Which promises may be broken (F2).',
  isOneOf: true,
  fields: (t) => ({
    all: t.boolean({ description: 'All of them: true.' }),
    lines: t.idList({
      description: `Those of these order lines; at least one and at most ${MOST_ACCEPTED}. Naming a line whose promise is kept does nothing.`,
    }),
  }),
})

const AdoptPlanInput = builder.inputType('AdoptPlanInput', {
  description: 'A draft to put in force.',
  fields: (t) => ({
    id: t.id({ required: true, description: 'The id of the draft.' }),
    acceptBrokenPromises: t.field({
      type: AcceptBrokenPromises,
      description: 'Promises that the plan in force keeps and that the draft may break. Absent: none.',
    }),
  }),
})

const DiscardPlanInput = builder.inputType('DiscardPlanInput', {
  description: 'A draft that is not wanted.',
  fields: (t) => ({ id: t.id({ required: true, description: 'The id of the draft.' }) }),
})

const FixInput = builder.inputType('DecisionInPlan', {
  description: 'One decision of the plan in force.',
  isOneOf: true,
  fields: (t) => ({
    brew: t.id({ description: 'The id of a planned brew.' }),
    transfer: t.id({ description: 'The id of a planned transfer.' }),
    fillRun: t.id({ description: 'The id of a fill run.' }),
  }),
})

builder.mutationFields((t) => ({
  draftPlan: t.field({
    ...needs(
      'plan:write',
      'Begins a draft and answers at once; ask for the plan by its id until it is a DRAFT. The plan in force is its baseline.',
    ),
    type: PlanPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: DraftPlanInput, required: true, description: 'How to draft it.' }) },
    resolve: (_root, { input }, { planning }) => draftPlan(planning, input),
  }),
  adoptPlan: t.field({
    ...needs(
      'plan:write',
      'Puts a draft in force. Orders that came in since it was begun are placed into it; where what changed since breaks it, it is refused: the `changes` of the Conflict say what others did, its `obstacles` what of it is in the way. One that breaks promises which the plan in force keeps is refused (`PROMISES_BROKEN`) with each line among the `obstacles`, unless `acceptBrokenPromises` names them; subscribers to `promiseAtRisk` then hear of each.',
    ),
    type: PlanPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: AdoptPlanInput, required: true, description: 'The draft.' }) },
    resolve: (_root, { input }, { planning }) => adoptPlan(planning, input),
  }),
  discardPlan: t.field({
    ...needs(
      'plan:write',
      'Discards a draft: it stays readable for 14 days with the status DISCARDED and can no longer be adopted. One that is being solved is stopped. A plan that is in force, past or failed is a Conflict.',
    ),
    type: PlanPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: DiscardPlanInput, required: true, description: 'The draft.' }) },
    resolve: (_root, { input }, { planning }) => discardPlan(planning, input),
  }),
  fixInPlan: t.field({
    ...needs('plan:write', 'Fixes a decision of the plan in force, so that the next plans leave it as it is (F1).'),
    type: PlanPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: FixInput, required: true, description: 'The decision.' }) },
    resolve: (_root, { input }, { planning }) => fixInPlan(planning, input),
  }),
  unfixInPlan: t.field({
    ...needs('plan:write', 'Lets go of a decision that was fixed (F1).'),
    type: PlanPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: FixInput, required: true, description: 'The decision.' }) },
    resolve: (_root, { input }, { planning }) => unfixInPlan(planning, input),
  }),
}))
