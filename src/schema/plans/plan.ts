// Plans: the plan in force, drafts and past ones. What they decide is in plan-lists.ts, what follows in plan-days.ts.
import { z } from 'zod'
import { $Enums } from '../../database/client.ts'
import { COST_TERMS, type Costs, costsShape } from '../../planner/documents/index.ts'
import { changedSince, changedSinceWords, updatedSince } from '../../resolvers/changes/updated.ts'
import { parseInput } from '../../resolvers/parse-input.ts'
import { AT_HAND } from '../../resolvers/plans/better-plan.ts'
import { planIdOf } from '../../resolvers/plans/plan-ref.ts'
import { readProgress } from '../../resolvers/plans/progress.ts'
import { MOST_WITHOUT, readWithout } from '../../resolvers/plans/without.ts'
import { builder } from '../builder.ts'
import type { Context } from '../context.ts'
import { OF_PLAN_VIEW } from '../costs.ts'
import { needs } from '../needs.ts'
import { PlanStatus } from '../order-words.ts'
import { pages } from '../pages.ts'
import { CostsType } from '../setup/distributor.ts'
import { rowKey } from '../setup/setup.ts'
import { recorded } from '../setup/setup-inputs.ts'
import { BoundKindType, PlanProgressType } from './plan-progress.ts'
import { LeftOutType } from './plan-without.ts'
import { ServiceType } from './service.ts'
import { UnavoidableCostType } from './unavoidable.ts'

export type Cost = { term: string; amount: number }
/** One term of a cost. */
export const CostType = builder.objectRef<Cost>('CostAmount').implement({
  description: 'What one term contributes to the cost of a plan (section 8 of the planning rules).',
  fields: (t) => ({
    term: t.exposeString('term', { description: 'The term, such as `late`.' }),
    amount: t.exposeFloat('amount', { description: 'Its amount, in the currency of the prices.' }),
  }),
})

/** A cost term by term. */
export function costAmounts(terms: Costs): Cost[] {
  return COST_TERMS.map((term) => ({ term, amount: terms[term] }))
}

const failureShape = z.object({ message: z.string() })

builder.prismaNode('Plan', {
  authScopes: { scope: 'plan:read' },
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    status: t.expose('status', { type: PlanStatus }),
    fromRevision: t.exposeInt('fromRevision'),
    baseline: t.relation('baseline', {
      nullable: true,
      description:
        'The plan that was in force when it was begun, for frozen days and churn (F1). Absent: there was none, or it is deleted.',
    }),
    today: t.expose('today', { type: 'LocalDate' }),
    horizonDays: t.exposeInt('horizonDays'),
    frozenDays: t.exposeInt('frozenDays'),
    costs: t.field({
      type: CostsType,
      description: recorded('Plan', 'costs'),
      select: { costs: true },
      resolve: ({ costs }) => costsShape.parse(costs),
    }),
    without: t.field({
      type: [LeftOutType],
      description: `What it was made without, although the records have it; at most ${MOST_WITHOUT} things.`,
      select: { without: true },
      resolve: ({ without }) => readWithout(without),
    }),
    costTotal: t.exposeFloat('costTotal', { nullable: true }),
    cost: t.field({
      type: [CostType],
      description: 'Its cost by term, one for each term (section 8). Empty while solving.',
      select: { costTerms: true },
      resolve: ({ costTerms }) => {
        return costTerms === null ? [] : costAmounts(costsShape.parse(costTerms))
      },
    }),
    saves: t.exposeFloat('saves', { nullable: true }),
    seed: t.exposeInt('seed'),
    steps: t.exposeInt('steps', { nullable: true }),
    progress: t.field({
      type: PlanProgressType,
      nullable: true,
      description: 'How far the search has come; noted about twice a second. Absent: it waits for its turn.',
      select: { progress: true },
      resolve: ({ progress }) => readProgress(progress),
    }),
    failure: t.string({
      nullable: true,
      description: recorded('Plan', 'failure'),
      select: { failure: true },
      resolve: ({ failure }) => (failure === null ? null : failureShape.parse(failure).message),
    }),
    createdAt: t.expose('createdAt', { type: 'DateTime' }),
    updatedAt: t.expose('updatedAt', { type: 'DateTime' }),
    solvedAt: t.expose('solvedAt', { type: 'DateTime', nullable: true }),
    adoptedAt: t.expose('adoptedAt', { type: 'DateTime', nullable: true }),
    replacedAt: t.expose('replacedAt', { type: 'DateTime', nullable: true }),
  }),
})

// What is found out about a plan beside what its row says: a bound, and how well it serves.
builder.prismaObjectFields('Plan', (t) => ({
  lowerBound: t.float({
    nullable: true,
    description:
      'No valid plan of the same problem costs less than this. Absent: it is not solved, it is past, the records have moved on, or it is being found (`boundKind` is `PENDING`): ask again in a moment.',
    select: { id: true },
    resolve: async ({ id }, _args, context) => (await context.planBound(id))?.lowerBound,
  }),
  boundKind: t.field({
    type: BoundKindType,
    nullable: true,
    description: 'How the lower bound was found. Absent: there is none.',
    select: { id: true },
    resolve: async ({ id }, _args, context) => (await context.planBound(id))?.boundKind,
  }),
  gap: t.float({
    nullable: true,
    description: `${recorded('Plan', 'gap')} Absent: there is no lower bound.`,
    select: { id: true },
    resolve: async ({ id }, _args, context) => (await context.planBound(id))?.gap,
  }),
  unavoidable: t.field({
    type: UnavoidableCostType,
    nullable: true,
    description:
      'What explains the lower bound: what no plan avoids, line by line and beer by beer. Absent: there is no lower bound, or it was stored before bounds were explained.',
    select: { id: true },
    resolve: async ({ id }, _args, context) => (await context.planBound(id))?.unavoidable,
  }),
  service: t.field({
    type: ServiceType,
    nullable: true,
    complexity: OF_PLAN_VIEW,
    description: 'Whom it serves of the orders as they are now, and with how many brews. Absent: it is not solved.',
    select: { id: true },
    resolve: async ({ id }, _args, context) => (await context.planView(id))?.service,
  }),
}))

const PlanFilter = builder.inputType('PlanFilter', {
  description: 'Which plans to list. What is not given does not filter.',
  fields: (t) => ({
    status: t.field({ type: PlanStatus, description: 'Only plans of this status.' }),
    changedSince: t.field({ type: 'DateTime', description: changedSinceWords('plans') }),
  }),
})

const plansShape = z.strictObject({
  filter: z.strictObject({ status: z.enum($Enums.PlanStatus).optional(), changedSince }).default({}),
})

/** The condition of a list of plans. Throws `InvalidInput`. */
function plansWhere({ distributorId }: Context, args: { filter?: unknown }) {
  const { status, changedSince: since } = parseInput(plansShape, { filter: args.filter }).filter
  return { distributorId, ...(status === undefined ? {} : { status }), ...updatedSince(since) }
}

builder.queryFields((t) => ({
  planInForce: t.prismaField({
    ...needs('plan:read', 'The plan in force. Absent: none was adopted yet.'),
    type: 'Plan',
    nullable: true,
    resolve: (query, _root, _args, { client, distributorId }) =>
      client.plan.findFirst({ ...query, where: { distributorId, status: 'IN_FORCE' } }),
  }),
  betterPlan: t.prismaField({
    ...needs(
      'plan:read',
      'A draft that was found in the background and costs less than the plan in force (`betterPlans` of the distributor). Absent: none is at hand.',
    ),
    type: 'Plan',
    nullable: true,
    resolve: (query, _root, _args, { client, distributorId }) =>
      client.plan.findFirst({ ...query, where: { distributorId, ...AT_HAND }, orderBy: { createdAt: 'desc' } }),
  }),
  plan: t.prismaField({
    ...needs('plan:read', 'One plan.'),
    type: 'Plan',
    nullable: true,
    args: { id: t.arg.id({ required: true, description: 'The id of the plan.' }) },
    resolve: (query, _root, { id }, context) =>
      context.client.plan.findUnique({ ...query, where: rowKey(context, planIdOf(id)) }),
  }),
  plans: t.prismaConnection(
    {
      ...needs('plan:read', 'Plans, the newest first.'),
      type: 'Plan',
      cursor: 'distributorId_id',
      nullable: true,
      args: { filter: t.arg({ type: PlanFilter, description: 'Which plans. Absent: all.' }) },
      resolve: (query, _root, args, context) =>
        context.client.plan.findMany({
          ...query,
          where: plansWhere(context, args),
          orderBy: [{ createdAt: 'desc' }, { id: 'desc' }],
        }),
      totalCount: (_root, args, context) => context.client.plan.count({ where: plansWhere(context, args) }),
    },
    ...pages('Plan', 'plans'),
  ),
}))
