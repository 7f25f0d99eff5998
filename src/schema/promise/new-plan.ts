// Whether a new plan could keep what the plan in force cannot promise: what is known of the search, and its offer.
import { MOST_KEPT, NEW_PLAN_STATES, type NewPlan, newPlanSearch } from '../../resolvers/promise/new-plan.ts'
import { builder } from '../builder.ts'
import { usually } from '../costs.ts'
import { ReasonType } from '../errors.ts'
import { needs } from '../needs.ts'
import { MOST_REASONS } from '../orders/order-line.ts'
import { Alternative } from './promise-alternative.ts'

const DESCRIPTIONS: Readonly<Record<NewPlan['state'], string>> = {
  SEARCHING: 'It is being looked for: ask again in a moment.',
  FOUND: 'There is one: `alternative` has its offer.',
  NONE: 'None was found that serves no other line later: `limits` say what binds even then.',
  FAILED: 'The search failed on our side. It begins again when the records have changed.',
  NOT_SOUGHT: 'It is not looked for: the key may not reserve, or others are being looked for.',
}

const State = builder.enumType('NewPlanState', {
  description: 'What is known of a new plan for a question.',
  values: Object.fromEntries(NEW_PLAN_STATES.map((state) => [state, { description: DESCRIPTIONS[state] }])),
})

export const NewPlanType = builder.objectRef<NewPlan>('NewPlan').implement({
  description:
    'A new plan for a question that the plan in force cannot serve on the wanted days: it serves all lines on them and no other line later than now, and changes nothing that is frozen or fixed (F1) or leaves today. Nothing of it is in force before it is reserved.',
  fields: (t) => ({
    id: t.id({
      nullable: true,
      description: 'The id of the search, for `newPlanSearch`. Absent: it is not looked for.',
      resolve: ({ id }) => id,
    }),
    state: t.field({ type: State, description: 'What is known.', resolve: ({ state }) => state }),
    message: t.exposeString('message', { description: 'The same in a sentence that can be read out.' }),
    alternative: t.field({
      type: Alternative,
      nullable: true,
      description: 'What was asked for, as the new plan serves it, with the offer. Absent: there is no such plan.',
      resolve: ({ alternative }) => alternative,
    }),
    changed: t.int({
      nullable: true,
      description:
        'Brews, transfers and fill runs of the plan in force that it drops, or moves to another day, vessel, batch or filler; another amount is no move. Absent: there is no new plan.',
      resolve: ({ moves }) => moves?.changed,
    }),
    added: t.int({
      nullable: true,
      description: 'Brews, transfers and fill runs that it adds. Absent: there is no new plan.',
      resolve: ({ moves }) => moves?.added,
    }),
    costDifference: t.float({
      nullable: true,
      description:
        'What it costs more than the plan in force (section 8), the new lines included. Absent: there is no new plan.',
      resolve: ({ moves }) => moves?.costDifference,
    }),
    limits: t.field({
      type: [ReasonType],
      description: `What binds the lines even in a new plan, where none was found; at most ${MOST_REASONS}.`,
      resolve: ({ limits }) => limits.slice(0, MOST_REASONS),
    }),
    fromRevision: t.int({
      nullable: true,
      description: 'The revision of the records that it was found from. Absent: it is not known yet.',
      resolve: ({ fromRevision }) => fromRevision,
    }),
  }),
})

builder.queryField('newPlanSearch', (t) =>
  t.field({
    ...needs(
      'orders:read',
      `What is known of a new plan that a promise had looked for; the newest ${MOST_KEPT} of the distributor are kept.`,
    ),
    type: NewPlanType,
    nullable: true,
    args: {
      id: t.arg.id({ required: true, description: 'The id of the search, as `promise { newPlan { id } }` has it.' }),
    },
    complexity: usually(10),
    resolve: async (_root, { id }, context) => newPlanSearch(await context.askPlanner(), id),
  }),
)
