// What a plan says about order lines that it does not serve as wanted, and about decisions that could not stay.
import { readReasons } from '../../resolvers/plans/reasons.ts'
import { builder } from '../builder.ts'
import { ReasonType } from '../errors.ts'
import { DecisionKind } from '../order-words.ts'
import { MOST_REASONS } from '../orders/order-line.ts'

const REASONS = `The rules that bind, and what would help; at most ${MOST_REASONS}.`

builder.prismaObject('PlanVerdict', {
  authScopes: { scope: 'plan:read' },
  fields: (t) => ({
    orderLine: t.relation('orderLine', { description: 'The order line.' }),
    quantity: t.exposeInt('quantity', { nullable: true }),
    promisedOn: t.expose('promisedOn', { type: 'LocalDate', nullable: true }),
    now: t.expose('now', { type: 'LocalDate', nullable: true }),
    reasons: t.field({
      type: [ReasonType],
      description: REASONS,
      select: { reasons: true },
      resolve: ({ reasons }) => readReasons(reasons).slice(0, MOST_REASONS),
    }),
  }),
})

builder.prismaObject('PlanMove', {
  authScopes: { scope: 'plan:read' },
  fields: (t) => ({
    kind: t.expose('kind', { type: DecisionKind }),
    decision: t.exposeString('decisionId', { description: "The decision's name in the baseline." }),
    reasons: t.field({
      type: [ReasonType],
      description: REASONS,
      select: { reasons: true },
      resolve: ({ reasons }) => readReasons(reasons).slice(0, MOST_REASONS),
    }),
  }),
})
