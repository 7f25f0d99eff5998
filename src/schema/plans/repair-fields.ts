// What every payload shows whose write repairs the plan in force: what moved in it, and who must hear of a promise at risk.
import { type PromiseAtRisk, promisesAtRisk } from '../../resolvers/floor/promises-at-risk.ts'
import { comparePlans } from '../../resolvers/plans/compare-plans.ts'
import type { PlanRepair } from '../../resolvers/written.ts'
import type { Scope } from '../../scopes.ts'
import { builder } from '../builder.ts'
import type { Context } from '../context.ts'
import { riskFields } from '../orders/order-line.ts'
import { rowType } from '../row-type.ts'
import { PlanDifferencesType } from './plan-differences.ts'

/** Most promises at risk that are listed. */
const MOST_RISKS = 200

const AtRiskType = builder.objectRef<PromiseAtRisk>('PromiseAtRisk').implement({
  description: 'A promise that the plan in force does not keep (F2), and who must hear of it.',
  fields: (t) => ({
    account: t.field({
      type: rowType('Account'),
      nullable: true,
      description: 'The account that must be asked or informed.',
      resolve: ({ accountId }, _args, { rows }) => rows.account.load(accountId),
    }),
    orderLine: t.field({
      type: rowType('OrderLine'),
      nullable: true,
      description: 'The order line that was promised. Scope: `orders:read`.',
      resolve: ({ orderLineId }, _args, { rows }) => rows.orderLine.load(orderLineId),
    }),
    isNew: t.exposeBoolean('isNew', {
      description: 'Whether this write put it at risk, or at risk otherwise than before.',
    }),
    promisedOn: t.expose('promisedOn', { type: 'LocalDate', description: 'The promised day.' }),
    expectedOn: t.expose('expectedOn', {
      type: 'LocalDate',
      nullable: true,
      description: 'The day on which it is wholly served now. Absent: it is not.',
    }),
    ...riskFields(t),
  }),
})

/** Those of the floor see what their facts do; others need the scope by which they could ask for it. */
const floorOr =
  (scope: Scope) =>
  (_written: object, _args: object, { caller }: Context) => ({
    scope: caller.scopes.has('floor:write') ? ('floor:write' as const) : scope,
  })

type Fields<Shape> = PothosSchemaTypes.ObjectFieldBuilder<typeof builder.$inferSchemaTypes, Shape>

/** The fields `moved` and `atRisk`. */
export const repairFields = <Shape extends { repaired?: PlanRepair }>(t: Fields<Shape>) => ({
  moved: t.field({
    type: PlanDifferencesType,
    nullable: true,
    authScopes: floorOr('plan:read'),
    description:
      'What the plan in force decides otherwise since, beside what was carried out of it. Absent: no plan is in force, or it had nothing to follow. Scope: `plan:read` or `floor:write`.',
    resolve: ({ repaired }) => repaired && comparePlans(repaired.after, repaired.carried),
  }),
  atRisk: t.field({
    type: [AtRiskType],
    nullable: true,
    authScopes: floorOr('orders:read'),
    description: `The promises that are at risk now, new ones first, each with who must hear of it and why; at most ${MOST_RISKS}. Scope: \`orders:read\` or \`floor:write\`.`,
    resolve: async ({ repaired }, _args, { client, distributorId }) =>
      repaired ? (await promisesAtRisk(client, distributorId, repaired)).slice(0, MOST_RISKS) : [],
  }),
})
