// The distributor that the key belongs to: its settings, and what its cost terms are worth.
import { COST_TERMS, type CostTerm, costsShape, DEFAULT_COSTS } from '../../planner/documents/index.ts'
import { changeDistributor } from '../../resolvers/setup/distributor.ts'
import type { Written } from '../../resolvers/written.ts'
import { builder } from '../builder.ts'
import { WRITE_ERRORS } from '../errors.ts'
import { needs } from '../needs.ts'
import { repairFields } from '../plans/repair-fields.ts'
import { BetterPlans } from '../words.ts'
import { revisionField } from './setup.ts'
import { recorded } from './setup-inputs.ts'

/** What each cost term counts (section 8 of the planning rules). */
const COUNTED: Record<CostTerm, string> = {
  unservedPromised: 'Per litre not served of promised lines.',
  unserved: 'Per litre not served of other lines, times the weight of the priority (1: 4, 2: 2, 3: 1).',
  latePromised: 'Per litre and day after the promised day.',
  late: 'Per litre and day after the wanted day of lines without promise, times the weight of the priority.',
  dumped: 'Per litre dumped, lost at a set-up, or emptied past its best before.',
  unsold: 'Per litre neither delivered nor dumped by the end of the horizon.',
  brew: 'Per brew (V1).',
  setup: "Per filler set-up (L1), times the beer's set-up weight.",
  drop: 'Per account and dispatch day with a delivery.',
  standing: 'Per litre and day that a delivered container waits.',
  churn: 'Per decision of the plan in force that is dropped or moved.',
}

export const CostsType = builder.objectRef<Record<CostTerm, number>>('Costs').implement({
  description: 'What each cost term is worth (section 8 of the planning rules); in any one currency.',
  fields: (t) =>
    Object.fromEntries(
      COST_TERMS.map((term) => [term, t.float({ description: COUNTED[term], resolve: (costs) => costs[term] })]),
    ),
})

export const CostsInput = builder.inputType('CostsInput', {
  description: 'Prices of cost terms that differ from the defaults (section 8 of the planning rules); 0 or more.',
  fields: (t) =>
    Object.fromEntries(
      COST_TERMS.map((term) => [term, t.float({ description: `${COUNTED[term]} Default ${DEFAULT_COSTS[term]}.` })]),
    ),
})

builder.prismaObject('Distributor', {
  fields: (t) => ({
    name: t.exposeString('name'),
    timeZone: t.exposeString('timeZone'),
    revision: t.exposeInt('revision'),
    horizonDays: t.exposeInt('horizonDays'),
    frozenDays: t.exposeInt('frozenDays'),
    betterPlans: t.expose('betterPlans', { type: BetterPlans }),
    betterPlanSaving: t.exposeFloat('betterPlanSaving'),
    closedThrough: t.expose('closedThrough', { type: 'LocalDate', nullable: true }),
    costs: t.field({
      type: CostsType,
      description: 'What its plans are judged by: its own prices, and the defaults for the rest.',
      select: { costs: true },
      resolve: ({ costs }) => ({ ...DEFAULT_COSTS, ...costsShape.partial().parse(costs) }),
    }),
  }),
})

builder.queryField('distributor', (t) =>
  t.prismaField({
    ...needs('any', 'The distributor that the key belongs to.'),
    type: 'Distributor',
    nullable: true,
    resolve: (query, _root, _args, { client, distributorId }) =>
      client.distributor.findUniqueOrThrow({ ...query, where: { id: distributorId } }),
  }),
)

const ChangeDistributorInput = builder.inputType('ChangeDistributorInput', {
  description: 'What to change of the distributor; what is not given stays.',
  fields: (t) => ({
    name: t.string({ description: recorded('Distributor', 'name') }),
    timeZone: t.string({ description: recorded('Distributor', 'timeZone') }),
    horizonDays: t.int({ description: recorded('Distributor', 'horizonDays') }),
    frozenDays: t.int({ description: recorded('Distributor', 'frozenDays') }),
    betterPlans: t.field({ type: BetterPlans, description: recorded('Distributor', 'betterPlans') }),
    betterPlanSaving: t.float({ description: recorded('Distributor', 'betterPlanSaving') }),
    closedThrough: t.field({
      type: 'LocalDate',
      description: `${recorded('Distributor', 'closedThrough')} Given: closes the periods through that day, which must be over; they stay closed, and what is corrected of their days is booked on the first open one.`,
    }),
    costs: t.field({ type: CostsInput, description: 'Replaces all own prices; a term not given has its default.' }),
  }),
})

const DistributorPayload = builder.objectRef<Written>('DistributorPayload').implement({
  description: 'The distributor that was written.',
  fields: (t) => ({
    revision: revisionField(t),
    distributor: t.prismaField({
      type: 'Distributor',
      description: 'The distributor as it is now.',
      resolve: (query, { id }, _args, { client }) => client.distributor.findUniqueOrThrow({ ...query, where: { id } }),
    }),
    ...repairFields(t),
  }),
})

builder.mutationField('changeDistributor', (t) =>
  t.field({
    ...needs('setup:write', 'Changes the settings of the distributor.'),
    type: DistributorPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: ChangeDistributorInput, required: true, description: 'What to change.' }) },
    resolve: (_root, { input }, { actor }) => changeDistributor(actor, input),
  }),
)
