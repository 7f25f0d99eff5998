// What else could be had where the answer is no, or late.

import { MOST_LINES } from '../../resolvers/orders/shapes.ts'
import type { Alternative as Found } from '../../resolvers/promise/alternative.ts'
import { MOST_ALTERNATIVES } from '../../resolvers/promise/alternatives.ts'
import type { AskedLine } from '../../resolvers/promise/asked-line.ts'
import { OFFER_HOURS } from '../../resolvers/promise/offer-token.ts'
import { builder } from '../builder.ts'
import { ONE_A_LINE, usually } from '../costs.ts'
import { rowType } from '../row-type.ts'
import { PromiseLine } from './promise-line.ts'

export { MOST_ALTERNATIVES }

const AlternativeKind = builder.enumType('AlternativeKind', {
  description: 'How an alternative differs from what was asked for.',
  values: {
    OTHER_CONTAINERS: { description: 'The same beer on the wanted day, in other containers that hold as much.' },
    TWO_DELIVERIES: { description: 'The same, where a late line may come in two deliveries (A3); all of it sooner.' },
    FEWER_NOW: { description: 'As many as can be on the wanted day, and the rest as early as can be.' },
    FEWER: { description: 'Fewer, on the wanted day; each line says whether the rest can be had later, and when.' },
    WHAT_CAN_BE_HAD: {
      description: 'As many as can be had of each line within the horizon (T5), on whichever days, where not all can.',
    },
    EARLIER_DAY: {
      description:
        'All of it on the nearest earlier day; where lines are wanted on several days, only the late ones move.',
    },
    LATER_DAY: {
      description:
        'All of it on the nearest later day; where lines are wanted on several days, only the late ones move.',
    },
    SIMILAR_BEER: { description: 'Another beer of the same style in the same containers, on the wanted day.' },
    NEW_PLAN: {
      description:
        'Just what was asked for, by a new plan that serves no other line later: only as `newPlan { alternative }`.',
    },
  },
})

const AskedLineType = builder.objectRef<AskedLine>('PromiseAskedLine').implement({
  description: 'A line of the question in an alternative: what it gets and what it does not.',
  fields: (t) => ({
    index: t.exposeInt('index', { description: 'Its place in the question, from 0.' }),
    pack: t.field({
      type: rowType('Pack'),
      nullable: true,
      description: 'The pack that was asked for.',
      resolve: ({ packId }, _args, { rows }) => rows.pack.load(packId),
    }),
    quantity: t.exposeInt('quantity', { description: 'Whole containers that were asked for: `got` and `missing`.' }),
    wantedOn: t.expose('wantedOn', { type: 'LocalDate', description: 'The day that was asked for.' }),
    onTime: t.exposeBoolean('onTime', { description: 'Whether all of it is served on that day.' }),
    got: t.exposeInt('got', {
      description: 'Of the containers asked for, so many are served, if need be by others that hold as much.',
    }),
    missing: t.exposeInt('missing', {
      description: 'Of the containers asked for, so many are not part of the alternative.',
    }),
    later: t.exposeInt('later', {
      description: 'Of the missing ones, so many can be had later beside the alternative, by a question of their own.',
    }),
    laterOn: t.expose('laterOn', {
      type: 'LocalDate',
      nullable: true,
      description: 'The day by which these are served. Absent: none can be had later.',
    }),
    lookedThrough: t.exposeBoolean('lookedThrough', {
      description:
        'Whether what is neither got nor later cannot be had within the horizon (T5). False: more may be had, the question was too long to look for all of it.',
    }),
    gets: t.field({
      type: [PromiseLine],
      description: `What it gets, by pack and day; at most ${MOST_LINES}, none where it gets nothing.`,
      complexity: usually(2),
      resolve: ({ gets }) => gets,
    }),
    sharedWith: t.exposeIntList('sharedWith', {
      description: `Other lines of the question whose volume is made up together with its own, so that what they get is the same; by place, at most ${MOST_LINES}.`,
    }),
  }),
})

export const Alternative = builder.objectRef<Found>('PromiseAlternative').implement({
  description:
    'Something else that could be had; placed like the question itself, so that it can be had as it is shown.',
  fields: (t) => ({
    kind: t.expose('kind', { type: AlternativeKind, description: 'How it differs from what was asked for.' }),
    message: t.exposeString('message', { description: 'What it is, in plain words.' }),
    summary: t.string({
      description:
        'What every line gets, in a line that can be read out: what, how many, when, and the one thing that limits it.',
      resolve: ({ summary }, _args, { rows }) => summary(({ kind, id }) => rows.nameOf(kind, id)),
    }),
    serveOn: t.expose('serveOn', {
      type: 'LocalDate',
      description: 'The day by which all that it gives is served.',
    }),
    asked: t.field({
      type: [AskedLineType],
      description: `Every line of the question, in its order, with what it gets; at most ${MOST_LINES}.`,
      complexity: ONE_A_LINE,
      resolve: ({ asked }) => asked,
    }),
    lines: t.field({
      type: [PromiseLine],
      description: `What would be ordered and how it is served; at most ${MOST_LINES}.`,
      complexity: ONE_A_LINE,
      resolve: ({ lines }) => lines,
    }),
    offerToken: t.exposeString('offerToken', {
      description: `For ordering or reserving just this, for ${OFFER_HOURS} hours: give it as it is. One of the kind NEW_PLAN is taken up with \`reserveWithNewPlan\`.`,
    }),
  }),
})
