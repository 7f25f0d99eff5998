// What a planner can listen to, by server-sent events: how far a plan or a comparison is. A subscription ends when it is done.
import { type ComparisonProgress, comparisonProgress, planProgress } from '../../resolvers/plans/plan-progress.ts'
import { builder } from '../builder.ts'
import { needs } from '../needs.ts'
import { PlanProgressType } from './plan-progress.ts'

const ComparisonProgressType = builder.objectRef<ComparisonProgress>('ComparisonProgress').implement({
  description: 'How far a comparison of scenarios has come.',
  fields: (t) => ({
    done: t.exposeInt('done', { description: 'Scenarios that are planned, or could not be.' }),
    scenarios: t.exposeInt('scenarios', { description: 'All scenarios, the records as they are among them.' }),
    progress: t.expose('progress', {
      type: PlanProgressType,
      nullable: true,
      description: 'How far the scenario that is being planned has come. Absent: none was begun.',
    }),
  }),
})

builder.subscriptionFields((t) => ({
  planProgress: t.field({
    ...needs(
      'plan:read',
      "How far a plan is, sent when it changes, at most four times a second; the same as the plan's `progress`. Ends when the plan is solved, failed or discarded.",
    ),
    type: PlanProgressType,
    args: { plan: t.arg.id({ required: true, description: 'The id of the plan.' }) },
    subscribe: (_root, { plan }, { actor }) => planProgress(actor, plan),
    resolve: (progress) => progress,
  }),
  comparisonProgress: t.field({
    ...needs(
      'plan:read',
      'How far a comparison is, sent when it changes, at most four times a second. Ends when it is ready or failed.',
    ),
    type: ComparisonProgressType,
    args: { comparison: t.arg.id({ required: true, description: 'The id of the comparison.' }) },
    subscribe: (_root, { comparison }, { actor }) => comparisonProgress(actor, comparison),
    resolve: (progress) => progress,
  }),
}))
