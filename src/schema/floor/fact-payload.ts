// What recording facts answers: the facts, what moved in the plan in force, and who must hear of a promise at risk.

import { type PromiseAtRisk, promisesAtRisk } from '../../resolvers/floor/promises-at-risk.ts'
import { MOST_FACTS, type Recorded } from '../../resolvers/floor/record-facts.ts'
import { comparePlans } from '../../resolvers/plans/compare-plans.ts'
import { builder } from '../builder.ts'
import { ReasonType } from '../errors.ts'
import { MOST_REASONS } from '../orders/order-line.ts'
import { PlanDifferencesType } from '../plans/plan-differences.ts'

/** Most promises at risk that are listed. */
const MOST_RISKS = 200

const AtRiskType = builder.objectRef<PromiseAtRisk>('PromiseAtRisk').implement({
  description: 'A promise that the plan in force does not keep (F2), and who must hear of it.',
  fields: (t) => ({
    account: t.prismaField({
      type: 'Account',
      nullable: true,
      description: 'The account that must be asked or informed.',
      resolve: (_query, { accountId }, _args, { rows }) => rows.account.load(accountId),
    }),
    orderLine: t.prismaField({
      type: 'OrderLine',
      nullable: true,
      description: 'The order line that was promised. Scope: `orders:read`.',
      resolve: (_query, { orderLineId }, _args, { rows }) => rows.orderLine.load(orderLineId),
    }),
    isNew: t.exposeBoolean('isNew', {
      description: 'Whether these facts put it at risk, or at risk otherwise than before.',
    }),
    promisedOn: t.expose('promisedOn', { type: 'LocalDate', description: 'The promised day.' }),
    expectedOn: t.expose('expectedOn', {
      type: 'LocalDate',
      nullable: true,
      description: 'The day on which it is wholly served now. Absent: it is not.',
    }),
    containers: t.exposeInt('containers', {
      nullable: true,
      description: 'Whole containers that are not served. Absent: all are, but late.',
    }),
    reasons: t.field({
      type: [ReasonType],
      description: `The rules that bind, and what would help; at most ${MOST_REASONS}.`,
      complexity: { field: 1, multiplier: 2 },
      resolve: ({ reasons }) => reasons.slice(0, MOST_REASONS),
    }),
  }),
})

export const FactsPayload = builder.objectRef<Recorded>('FactsPayload').implement({
  description: 'Facts that were recorded, and the plan in force that was repaired with them.',
  fields: (t) => ({
    revision: t.exposeInt('revision', { description: "The distributor's revision since the write." }),
    facts: t.prismaField({
      type: ['Fact'],
      description: `The facts in the order of the input, at most ${MOST_FACTS}; one that was said before under the same reference is the first one.`,
      resolve: async (_query, { ids }, _args, { rows }) => {
        const found = await Promise.all(ids.map((id) => rows.fact.load(id)))
        return found.flatMap((fact) => (fact === null ? [] : [fact]))
      },
    }),
    moved: t.field({
      type: PlanDifferencesType,
      nullable: true,
      description:
        'What the plan in force decides otherwise since, beside what was carried out of it. Absent: no plan is in force.',
      resolve: ({ repaired }) => repaired && comparePlans(repaired.after, repaired.carried),
    }),
    atRisk: t.field({
      type: [AtRiskType],
      description: `The promises that are at risk now, new ones first, each with who must hear of it and why; at most ${MOST_RISKS}.`,
      resolve: async ({ repaired }, _args, { client, distributorId }) =>
        repaired ? (await promisesAtRisk(client, distributorId, repaired)).slice(0, MOST_RISKS) : [],
    }),
  }),
})
