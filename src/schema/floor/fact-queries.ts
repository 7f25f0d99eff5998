// Lists of facts: all that a filter lets through, and those that were assumed and wait for somebody to confirm them.
import { changedSinceWords } from '../../resolvers/changes/updated.ts'
import { factsWhere, unconfirmedWhere } from '../../resolvers/floor/fact-filter.ts'
import { FACT_KINDS } from '../../resolvers/floor/fact-view.ts'
import { builder } from '../builder.ts'
import { needs } from '../needs.ts'
import { pages } from '../pages.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { FactKindType } from './fact-kind.ts'

const FactFilter = builder.inputType('FactFilter', {
  description: 'Which facts to list. What is not given does not filter.',
  fields: (t) => ({
    kinds: t.field({ type: [FactKindType], description: `Only of these kinds; at most ${FACT_KINDS.length}.` }),
    from: t.field({ type: 'LocalDate', description: 'Only what happened on this day or later.' }),
    to: t.field({ type: 'LocalDate', description: 'Only what happened on this day or before.' }),
    site: t.field({ type: ThingRefInput, description: 'Only what happened at this site.' }),
    batch: t.field({ type: ThingRefInput, description: 'Only about this batch.' }),
    lot: t.field({ type: ThingRefInput, description: 'Only about this stock lot.' }),
    vessel: t.field({ type: ThingRefInput, description: 'Only about this vessel.' }),
    orderLine: t.field({ type: ThingRefInput, description: 'Only about this order line.' }),
    account: t.field({ type: ThingRefInput, description: 'Only about this account.' }),
    changedSince: t.field({ type: 'DateTime', description: changedSinceWords('facts') }),
    assumed: t.boolean({ description: 'True: only what was assumed; false: only what was said. Absent: both.' }),
    effectiveOnly: t.boolean({
      description: 'True: only facts that count, without those that were replaced or withdrawn. Absent: false.',
    }),
  }),
})

builder.queryFields((t) => ({
  facts: t.prismaConnection(
    {
      ...needs('plan:read', 'What happened, as it was recorded; the newest record first.'),
      type: 'Fact',
      cursor: 'distributorId_id',
      nullable: true,
      args: { filter: t.arg({ type: FactFilter, description: 'Which facts. Absent: all.' }) },
      resolve: async (query, _root, { filter }, { client, actor }) =>
        client.fact.findMany({ ...query, where: await factsWhere(actor, filter), orderBy: { number: 'desc' } }),
      totalCount: async (_root, { filter }, { client, actor }) =>
        client.fact.count({ where: await factsWhere(actor, filter) }),
    },
    ...pages('Fact', 'facts'),
  ),
  unconfirmed: t.prismaConnection(
    {
      ...needs(
        'plan:read',
        'What was assumed when its day was over, or is due since, counts, and was not said by anybody yet, the oldest first: confirm it with `confirmFacts`, or say or correct what happened.',
      ),
      type: 'Fact',
      cursor: 'distributorId_id',
      nullable: true,
      resolve: (query, _root, _args, { client, distributorId }) =>
        client.fact.findMany({ ...query, where: unconfirmedWhere(distributorId), orderBy: { number: 'asc' } }),
      totalCount: (_root, _args, { client, distributorId }) =>
        client.fact.count({ where: unconfirmedWhere(distributorId) }),
    },
    ...pages('UnconfirmedFact', 'facts to confirm'),
  ),
}))
