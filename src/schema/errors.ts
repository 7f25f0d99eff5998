// Refusals as the API shows them: one type for each kind, all with a stable code and what the caller can do.
import type { Issue, Obstacle, RecordChange } from '../errors.ts'
import { Busy, Conflict, Forbidden, InvalidInput, NotFound, NotPossible, type Refusal } from '../errors.ts'
import type { Reason } from '../planner/documents/index.ts'
import type { Actor } from '../resolvers/actor.ts'
import { encodeGlobalId } from '../resolvers/global-id.ts'
import { notPossibleInWords } from '../resolvers/orders/short-lines.ts'
import { reasonInNames } from '../words/reason-words.ts'
import { builder } from './builder.ts'
import { PlanningRule } from './planning-rule.ts'

const RefusalType = builder.interfaceRef<Refusal>('Refusal').implement({
  description: 'Why something was not done. Nothing was written.',
  fields: (t) => ({
    code: t.exposeString('code', { description: 'A stable code to branch on, such as `UNKNOWN_REFERENCE`.' }),
    message: t.exposeString('message', { description: 'What is wrong, in a sentence.' }),
    action: t.exposeString('action', { description: 'What you can do about it.' }),
  }),
})

export const IssueType = builder.objectRef<Issue>('Issue').implement({
  description: 'One thing that is wrong with an input.',
  fields: (t) => ({
    path: t.exposeString('path', {
      description: 'Where in the input, such as `lines[0].quantity`. Empty: the input as a whole.',
    }),
    code: t.exposeString('code', { description: 'A stable code to branch on, such as `OUT_OF_RANGE`.' }),
    message: t.exposeString('message', { description: 'What is wrong there.' }),
    action: t.exposeString('action', { description: 'What you can do about it.' }),
  }),
})

builder.objectType(InvalidInput, {
  name: 'InvalidInput',
  description: 'The input is wrong. Everything that is wrong is listed at once.',
  interfaces: [RefusalType],
  fields: (t) => ({
    issues: t.field({
      type: [IssueType],
      description: 'All that is wrong, at least one thing; at most three for each value of the input.',
      resolve: ({ issues }) => [...issues],
    }),
  }),
})

builder.objectType(NotFound, {
  name: 'NotFound',
  description: 'What the input is about does not exist, or belongs to another distributor.',
  interfaces: [RefusalType],
  fields: (t) => ({
    entityType: t.exposeString('entityType', {
      description: 'The kind of thing that was looked for, such as `Order`.',
    }),
    reference: t.exposeString('reference', { description: 'The id or external reference that was looked for.' }),
  }),
})

const RecordChangeType = builder.objectRef<RecordChange>('RecordChange').implement({
  description: 'Something that others have changed meanwhile.',
  fields: (t) => ({
    what: t.exposeString('what', { description: 'What it is, such as `lines[2].quantity` of an order.' }),
    before: t.exposeString('before', { nullable: true, description: 'Its value then, as text. Absent: it had none.' }),
    now: t.exposeString('now', { nullable: true, description: 'Its value now, as text. Absent: it has none.' }),
    event: t.exposeString('event', {
      description: 'The last thing that happened to the record, such as `ORDER_AMENDED`.',
    }),
    revision: t.exposeInt('revision', { description: 'The revision that this made.' }),
    entityType: t.string({
      nullable: true,
      description: 'The kind of record, such as `Vessel`. Absent: it is the one that the request is about.',
      resolve: ({ entity }) => entity?.type,
    }),
    entity: t.id({
      nullable: true,
      description: 'The id of the record. Absent: it is the one that the request is about.',
      resolve: ({ entity }) => entity?.id,
    }),
  }),
})

const ObstacleKind = builder.enumType('ObstacleKind', {
  description: 'Why a draft can not come into force.',
  values: {
    LINE_NO_LONGER_FITS: { description: 'What it serves of an order line no longer fits.' },
    PROMISE_BROKEN: { description: 'A promise that the plan in force keeps would be broken (F2).' },
    PROMISE_BROUGHT_FORWARD: {
      description:
        'A promised line would be served on an earlier day than the plan in force says, within the frozen days (F1).',
    },
    RULE_BROKEN: { description: 'It breaks a planning rule by the records as they are now.' },
    SERVED_LATER: {
      description:
        'Of a new plan for a promise: an order line would be served later than by the plan in force, or less of it.',
    },
    WORK_MOVED: {
      description: 'Of a new plan for a promise: it would change work that is frozen or fixed (F1), or of today.',
    },
  },
})

const ObstacleType = builder.objectRef<Obstacle>('Obstacle').implement({
  description: 'Something that keeps a draft from coming into force.',
  fields: (t) => ({
    kind: t.expose('kind', { type: ObstacleKind, description: 'What kind of obstacle it is.' }),
    rule: t.expose('rule', {
      type: PlanningRule,
      nullable: true,
      description: 'The planning rule. Absent: the draft names what is no longer there.',
    }),
    orderLine: t.prismaField({
      type: 'OrderLine',
      nullable: true,
      description: 'The order line. Absent: it is about no one line.',
      resolve: (query, { orderLineId: id }, _args, { client, distributorId }) =>
        id === undefined
          ? null
          : client.orderLine.findUnique({ ...query, where: { distributorId_id: { distributorId, id } } }),
    }),
    promisedOn: t.expose('promisedOn', {
      type: 'LocalDate',
      nullable: true,
      description:
        'The promised day of a promise that would be broken or brought forward. Absent: it is about no promise.',
    }),
    expectedOn: t.expose('expectedOn', {
      type: 'LocalDate',
      nullable: true,
      description:
        'The day on which the draft serves all of a line whose promise would be broken, or the earlier day of one that is brought forward. Absent: it never serves all, or it is about no promise.',
    }),
    message: t.exposeString('message', { description: 'The same in words.' }),
  }),
})

/** How the thing that has the reference differs from the input, for one who may read the thing. */
function differsOf({ takenBy }: Conflict, { mayRead }: Actor): readonly string[] | undefined {
  return takenBy && mayRead?.(takenBy.type) ? takenBy.differs : undefined
}

builder.objectType(Conflict, {
  name: 'Conflict',
  description: 'The state of the records does not allow it now.',
  interfaces: [RefusalType],
  fields: (t) => ({
    changes: t.field({
      type: [RecordChangeType],
      description: 'What others have changed meanwhile, where that is why; at most 100.',
      resolve: ({ changes }) => changes.slice(0, 100),
    }),
    obstacles: t.field({
      type: [ObstacleType],
      description: 'What of it keeps a draft from coming into force, where that was asked for; at most 100.',
      resolve: ({ obstacles }) => obstacles.slice(0, 100),
    }),
    takenBy: t.id({
      nullable: true,
      description:
        'The id of the thing that has the reference, or that the offer or the reservation became, where that is why: `node` reads it. Absent: it is about neither, or your key may not read the thing.',
      resolve: ({ takenBy }, _args, { actor }) =>
        takenBy && actor.mayRead?.(takenBy.type) ? encodeGlobalId(takenBy.type, takenBy.id) : null,
    }),
    equal: t.boolean({
      nullable: true,
      description:
        'Whether that thing is as the input says, so that nothing is left to be done. Absent: there is no such thing, or the two were not compared.',
      resolve: (refusal, _args, { actor }) => {
        const differs = differsOf(refusal, actor)
        return differs && differs.length === 0
      },
    }),
    differs: t.stringList({
      nullable: true,
      description: `The fields of the input whose values differ from those of that thing, such as \`name\` or \`lines[2]\`; at most 100. Absent: as for \`equal\`.`,
      resolve: (refusal, _args, { actor }) => differsOf(refusal, actor)?.slice(0, 100),
    }),
  }),
})

builder.objectType(Busy, {
  name: 'Busy',
  description:
    'Too much is under way just now, or the database is slow or away. The same request may be sent again; nothing was written, unless the code is `DATABASE_AWAY`: then look first.',
  interfaces: [RefusalType],
  fields: (t) => ({
    retryAfterSeconds: t.exposeInt('retryAfterSeconds', {
      description: 'Whole seconds after which it is worth asking again; at least 1.',
    }),
  }),
})

builder.objectType(Forbidden, {
  name: 'Forbidden',
  description: 'The key is good but does not carry the scope.',
  interfaces: [RefusalType],
  fields: (t) => ({
    scope: t.exposeString('scope', { description: 'The scope that is missing, such as `orders:write`.' }),
  }),
})

const ResourceType = builder.objectRef<NonNullable<Reason['resource']>>('ReasonResource').implement({
  description: 'What a reason is about.',
  fields: (t) => ({
    kind: t.exposeString('kind', { description: 'The kind of thing, such as `VESSEL` or `FLEET`.' }),
    id: t.exposeString('id', { description: "The thing's id in the planner's documents." }),
  }),
})

const ReliefType = builder.objectRef<NonNullable<Reason['relief']>>('Relief').implement({
  description: 'A change that, alone, serves the line on time (E1). One unit less does not.',
  fields: (t) => ({
    what: t.exposeString('what', { description: 'What to change, such as filler minutes.' }),
    amount: t.exposeFloat('amount', { description: 'By how much, in `unit`.' }),
    unit: t.exposeString('unit', { description: 'The unit of the amount, such as minutes or casks.' }),
    by: t.expose('by', { type: 'LocalDate', nullable: true, description: 'By which day. Absent: any day.' }),
  }),
})

/** A reason of the planner: in plans, and where something is not possible. */
export const ReasonType = builder.objectRef<Reason>('Reason').implement({
  description:
    'Why an order line is late or not served, or why a decision was moved (section 9 of the planning rules).',
  fields: (t) => ({
    rule: t.expose('rule', { type: PlanningRule, description: 'The planning rule that binds.' }),
    code: t.exposeString('code', { description: 'What it says, as a stable code, such as `NO_FILLER_MINUTES`.' }),
    resource: t.expose('resource', {
      type: ResourceType,
      nullable: true,
      description: 'What is short or in the way. Absent: nothing in particular.',
    }),
    from: t.expose('from', { type: 'LocalDate', nullable: true, description: 'First day on which it binds.' }),
    to: t.expose('to', { type: 'LocalDate', nullable: true, description: 'Last day on which it binds.' }),
    message: t.string({
      description: 'The reason in words.',
      resolve: (reason, _args, { rows }) => reasonInNames(reason, ({ kind, id }) => rows.nameOf(kind, id)),
    }),
    relief: t.expose('relief', {
      type: ReliefType,
      nullable: true,
      description: 'The smallest single change found that would serve the line on time. Absent: none was found.',
    }),
  }),
})

builder.objectType(NotPossible, {
  name: 'NotPossible',
  description: 'The planning rules do not allow it.',
  interfaces: [RefusalType],
  fields: (t) => ({
    message: t.string({
      description: 'What is wrong, in a sentence: each line that cannot be served as asked, and when it could be.',
      resolve: (refusal, _args, { rows }) => notPossibleInWords(refusal, ({ kind, id }) => rows.nameOf(kind, id)),
    }),
    reasons: t.field({
      type: [ReasonType],
      description: 'The rules that bind; at most 100.',
      resolve: ({ reasons }) => reasons.slice(0, 100),
    }),
  }),
})

/** The errors of a mutation that changes records: pass as its `errors` option. */
export const WRITE_ERRORS = { types: [InvalidInput, NotFound, Conflict, Forbidden, Busy] }

/** The errors of a mutation that asks the planner. */
export const PLAN_ERRORS = { types: [InvalidInput, NotFound, Conflict, NotPossible, Forbidden, Busy] }
