// When can this account have these? The answer of a trial placement in the plan in force.

import { MOST_LINES } from '../../resolvers/orders/shapes.ts'
import { OFFER_HOURS } from '../../resolvers/promise/offer-token.ts'
import { type PromiseAnswer, promise } from '../../resolvers/promise/promise.ts'
import { builder } from '../builder.ts'
import { alternativesOfLine, costOfPromise, EXPLAINED_LINE, ONE_A_LINE } from '../costs.ts'
import { needs } from '../needs.ts'
import { AT_MOST_WISHES, GaveWay } from '../orders/gave-way.ts'
import { recorded } from '../setup/setup-inputs.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { NewPlanType } from './new-plan.ts'
import { Alternative, MOST_ALTERNATIVES } from './promise-alternative.ts'
import { PromiseLine } from './promise-line.ts'

const Answer = builder.objectRef<PromiseAnswer>('Promise').implement({
  description:
    'What can be served when, beside everything that the plan in force promises: lines without a promise give way (`gaveWay`). Nothing was moved or written.',
  fields: (t) => ({
    allOnTime: t.exposeBoolean('allOnTime', { description: 'Whether all lines are served on their wanted days.' }),
    earliestServeOn: t.expose('earliestServeOn', {
      type: 'LocalDate',
      nullable: true,
      description: 'The first day by which all lines are served. Absent: a line cannot wholly be served at all.',
    }),
    offerToken: t.exposeString('offerToken', {
      nullable: true,
      description: `For ordering or reserving just this, once, for ${OFFER_HOURS} hours: give it as it is. Absent: a line cannot wholly be served.`,
    }),
    lines: t.field({
      type: [PromiseLine],
      description: `One for each line of the question, in its order; at most ${MOST_LINES}.`,
      complexity: ONE_A_LINE,
      resolve: ({ lines }) => lines,
    }),
    alternatives: t.field({
      type: [Alternative],
      description: `What else could be had where a line is not on time, the closest to the question first; at most ${MOST_ALTERNATIVES}, none where the earliest day was asked for and there is one.`,
      complexity: alternativesOfLine(MOST_ALTERNATIVES),
      resolve: ({ alternatives }) => alternatives(),
    }),
    newPlan: t.field({
      type: NewPlanType,
      nullable: true,
      description:
        'Whether a new plan could serve all lines on their wanted days and no other line later. Where that is not known yet, it is looked for in the background, once for each question and revision, by a key with `orders:write`; ask for `newPlanSearch` until it is known. Absent: all is on time, no day was named, or the server looks for none.',
      resolve: ({ newPlan }, _args, { caller }) => newPlan(caller.scopes.has('orders:write')),
    }),
    gaveWay: t.field({
      type: [GaveWay],
      description: `Lines without a promise that would give way to this; ${AT_MOST_WISHES}.`,
      resolve: ({ gaveWay }) => gaveWay(),
    }),
    summary: t.string({
      complexity: EXPLAINED_LINE,
      description:
        'The answer in a line that can be read out: what, how many, when, and the one thing that limits it; where not all can be had, the next best.',
      resolve: ({ summary }, _args, { rows }) => summary(({ kind, id }) => rows.nameOf(kind, id)),
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
    nullable: true,
    args: { input: t.arg({ type: PromiseInput, required: true, description: 'The question.' }) },
    complexity: costOfPromise,
    resolve: async (_root, { input }, context) => {
      const began = performance.now()
      const answer = await promise(await context.askPlanner(), input)
      context.services.onPromise?.((performance.now() - began) / 1000)
      return answer
    },
  }),
)
