// How far the making of a plan is: the same for queries and for subscriptions.
import type { ShownProgress } from '../../resolvers/plans/progress.ts'
import { builder } from '../builder.ts'

/** The ways in which lower bounds are found. */
export const BoundKindType = builder.enumType('BoundKind', {
  description: 'How a lower bound was found.',
  values: {
    PER_LINE: { description: 'Each order line alone, at what it must cost at least; instant.' },
    AGGREGATED: { description: 'All lines together over days and vessels taken together, by linear programming.' },
    PER_BEER: { description: 'Each beer as if there were no other, with whole brews and lines.' },
    AGGREGATED_WHOLE_BREWS: { description: 'All lines together with whole brews and lines.' },
    DAY_BY_DAY: {
      description: 'Every decision of every day, in whole numbers, as far as time allowed; small problems alone.',
    },
    EXACT: { description: 'No plan costs less: the bound is what the plan costs.' },
    PENDING: { description: 'It is being found, beside the request that asked first: ask again in a moment.' },
  },
})

export const PlanProgressType = builder.objectRef<ShownProgress>('PlanProgress').implement({
  description: 'How far the search for a plan has come.',
  fields: (t) => ({
    steps: t.exposeInt('steps', { description: 'Steps of improvement that were made.' }),
    bestCost: t.exposeFloat('bestCost', { description: 'The cost of the best plan so far (section 8).' }),
    lowerBound: t.exposeFloat('lowerBound', {
      nullable: true,
      description: 'No valid plan costs less, as far as is known by now. Absent: nothing is known yet.',
    }),
    boundKind: t.expose('boundKind', {
      type: BoundKindType,
      nullable: true,
      description: 'How the lower bound was found. Absent: there is none yet.',
    }),
    gap: t.exposeFloat('gap', {
      nullable: true,
      description: 'Share of the best cost by which it may exceed the least possible, 0 to 1. Absent: no bound yet.',
    }),
    seconds: t.exposeFloat('seconds', { description: 'Seconds since the search began.' }),
  }),
})
