// Comparisons of scenarios: what was tried out beside the plan in force, with cost and service side by side.
import { z } from 'zod'
import { MOST_CHANGES, MOST_KEPT, MOST_SCENARIOS } from '../../resolvers/plans/compare.ts'
import { comparisonIdOf } from '../../resolvers/plans/plan-progress.ts'
import { readProgress } from '../../resolvers/plans/progress.ts'
import { type Outcome, readScenarios, type Scenario } from '../../resolvers/plans/scenarios.ts'
import { builder } from '../builder.ts'
import { SinceFilter, sinceWhere } from '../changes/since-filter.ts'
import { needs } from '../needs.ts'
import { pages } from '../pages.ts'
import { rowKey } from '../setup/setup.ts'
import { recorded } from '../setup/setup-inputs.ts'
import { CostType, costAmounts } from './plan.ts'
import { BoundKindType, PlanProgressType } from './plan-progress.ts'
import { ServiceType } from './service.ts'

const Status = builder.enumType('ComparisonStatus', {
  description: 'How far a comparison has come.',
  values: {
    SOLVING: { description: 'The planner is working on it.' },
    READY: { description: 'All scenarios are planned.' },
    FAILED: { description: 'The planner stopped before all scenarios were planned; `failure` says why.' },
  },
})

const OutcomeType = builder.objectRef<Outcome & { interim: boolean }>('ScenarioOutcome').implement({
  description: 'The outcome of a scenario.',
  fields: (t) => ({
    interim: t.exposeBoolean('interim', {
      description:
        'Whether it may still become cheaper: when all scenarios are planned, each may take over what suits it of the others.',
    }),
    costTotal: t.exposeFloat('costTotal', { description: 'The cost of its plan (section 8); lower is better.' }),
    cost: t.field({
      type: [CostType],
      description: 'The cost by term, one for each term.',
      resolve: ({ costTerms }) => costAmounts(costTerms),
    }),
    lowerBound: t.exposeFloat('lowerBound', {
      nullable: true,
      description: 'No valid plan of the scenario costs less. Absent: none was found.',
    }),
    boundKind: t.expose('boundKind', {
      type: BoundKindType,
      nullable: true,
      description: 'How the lower bound was found. Absent: there is none.',
    }),
    gap: t.exposeFloat('gap', {
      nullable: true,
      description: 'Share of the cost by which the plan may exceed the best, 0 to 1. Absent: there is no bound.',
    }),
    service: t.expose('service', { type: ServiceType, description: 'Whom it serves, and with how many brews.' }),
  }),
})

const ScenarioType = builder.objectRef<Scenario & { interim: boolean }>('Scenario').implement({
  description: 'Something that was tried out: the records as they are, or with changes.',
  fields: (t) => ({
    name: t.exposeString('name', { description: 'Its name.' }),
    changes: t.exposeStringList('changes', {
      description: `Its changes in words, none for the records as they are; at most ${MOST_CHANGES}.`,
    }),
    outcome: t.field({
      type: OutcomeType,
      nullable: true,
      description: 'Its outcome. Absent: it is not planned yet, or could not be.',
      resolve: ({ outcome, interim }) => outcome && { ...outcome, interim },
    }),
    failure: t.exposeString('failure', {
      nullable: true,
      description: 'Why it could not be planned. Absent: it was, or its turn has not come.',
    }),
  }),
})

const failureShape = z.object({ message: z.string() })

builder.prismaNode('Comparison', {
  authScopes: { scope: 'plan:read' },
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    status: t.expose('status', { type: Status }),
    fromRevision: t.exposeInt('fromRevision'),
    today: t.expose('today', { type: 'LocalDate' }),
    scenarios: t.field({
      type: [ScenarioType],
      description: `The records as they are, then the scenarios in their order; at most ${MOST_SCENARIOS + 1}.`,
      select: { scenarios: true, status: true },
      resolve: ({ scenarios, status }) =>
        readScenarios(scenarios).map((scenario) => ({ ...scenario, interim: status !== 'READY' })),
    }),
    progress: t.field({
      type: PlanProgressType,
      nullable: true,
      description: 'How far the scenario that is being planned has come. Absent: none was begun.',
      select: { progress: true },
      resolve: ({ progress }) => readProgress(progress),
    }),
    failure: t.string({
      nullable: true,
      description: recorded('Comparison', 'failure'),
      select: { failure: true },
      resolve: ({ failure }) => (failure === null ? null : failureShape.parse(failure).message),
    }),
    createdAt: t.expose('createdAt', { type: 'DateTime' }),
    updatedAt: t.expose('updatedAt', { type: 'DateTime' }),
    solvedAt: t.expose('solvedAt', { type: 'DateTime', nullable: true }),
  }),
})

builder.queryFields((t) => ({
  comparison: t.prismaField({
    ...needs('plan:read', 'One comparison of scenarios.'),
    type: 'Comparison',
    nullable: true,
    args: { id: t.arg.id({ required: true, description: 'The id of the comparison.' }) },
    resolve: (query, _root, { id }, context) =>
      context.client.comparison.findUnique({ ...query, where: rowKey(context, comparisonIdOf(id)) }),
  }),
  comparisons: t.prismaConnection(
    {
      ...needs('plan:read', `Comparisons of scenarios, the newest first; the newest ${MOST_KEPT} are kept.`),
      type: 'Comparison',
      cursor: 'distributorId_id',
      nullable: true,
      args: { filter: t.arg({ type: SinceFilter, description: 'Which comparisons. Absent: all.' }) },
      resolve: (query, _root, args, context) =>
        context.client.comparison.findMany({
          ...query,
          where: sinceWhere(context, args),
          orderBy: [{ createdAt: 'desc' }, { id: 'desc' }],
        }),
      totalCount: (_root, args, context) => context.client.comparison.count({ where: sinceWhere(context, args) }),
    },
    ...pages('Comparison', 'comparisons'),
  ),
}))
