// Promises kept in view: what subscribers hear when one is at risk, or safe again.
import { type PromiseNews, watchPromises } from '../resolvers/orders/watch-promises.ts'
import { builder } from './builder.ts'
import { ReasonType } from './errors.ts'
import { needs } from './needs.ts'
import { MOST_REASONS } from './order-line.ts'
import { rowKey } from './setup.ts'

const CauseType = builder.objectRef<PromiseNews['cause']>('PromiseCause').implement({
  description: 'What changed so that a promise is at risk, or safe again.',
  fields: (t) => ({
    event: t.exposeString('kind', {
      description: 'What happened, as the change log calls it: such as `VESSEL_CHANGED`.',
    }),
    entityType: t.exposeString('type', { description: 'The kind of thing that it happened to, such as `Vessel`.' }),
    entityId: t.exposeString('id', { description: 'Its id in the change log.' }),
  }),
})

const NewsType = builder.objectRef<PromiseNews>('PromiseNews').implement({
  description: 'A promise that is at risk, is so in another way than before, or is safe again (F2).',
  fields: (t) => ({
    atRisk: t.exposeBoolean('atRisk', { description: 'Whether it is at risk; false: it is safe again.' }),
    line: t.prismaField({
      type: 'OrderLine',
      description: 'The order line that was promised.',
      resolve: (query, { lineId }, _args, context) =>
        context.client.orderLine.findUniqueOrThrow({ ...query, where: rowKey(context, lineId) }),
    }),
    promisedOn: t.expose('promisedOn', { type: 'LocalDate', description: 'The promised day.' }),
    expectedOn: t.expose('expectedOn', {
      type: 'LocalDate',
      nullable: true,
      description: 'The day on which it is wholly served now. Absent: it is not.',
    }),
    containers: t.exposeInt('containers', {
      nullable: true,
      description: 'Whole containers that are not served. Absent: all are.',
    }),
    reasons: t.field({
      type: [ReasonType],
      description: `The rules that bind, and what would help; at most ${MOST_REASONS}.`,
      resolve: ({ reasons }) => reasons.slice(0, MOST_REASONS),
    }),
    cause: t.field({ type: CauseType, description: 'What caused it.', resolve: ({ cause }) => cause }),
    revision: t.exposeInt('revision', { description: 'The revision that the cause made.' }),
    at: t.expose('at', { type: 'DateTime', description: 'When it was written.' }),
  }),
})

builder.subscriptionField('promiseAtRisk', (t) =>
  t.field({
    ...needs(
      'orders:read',
      'Each promise that a fact, an order or a new plan puts at risk from now on, and each that is safe again.',
    ),
    type: NewsType,
    subscribe: (_root, _args, { actor }) => watchPromises(actor),
    resolve: (news) => news,
  }),
)
