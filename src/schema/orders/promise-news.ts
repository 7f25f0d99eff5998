// Promises kept in view: what subscribers hear when one is at risk, safe again, or kept on another day.
import { type PromiseNews, watchPromises } from '../../resolvers/orders/watch-promises.ts'
import { builder } from '../builder.ts'
import { ReasonType } from '../errors.ts'
import { needs } from '../needs.ts'
import { rowKey } from '../setup/setup.ts'
import { MOST_REASONS } from './order-line.ts'

const CauseType = builder.objectRef<PromiseNews['cause']>('PromiseCause').implement({
  description: 'What changed so that a promise is at risk, safe again, or kept on another day.',
  fields: (t) => ({
    event: t.exposeString('kind', {
      description: 'What happened, as the change log calls it: such as `VESSEL_CHANGED`.',
    }),
    entityType: t.exposeString('type', { description: 'The kind of thing that it happened to, such as `Vessel`.' }),
    entityId: t.exposeString('id', { description: 'Its id in the change log.' }),
  }),
})

const NewsKind = builder.enumType('PromiseNewsKind', {
  description: 'How a promise changed.',
  values: {
    AT_RISK: { description: 'It is at risk, or in another way than before.' },
    SAFE_AGAIN: { description: 'It was at risk and is kept again.' },
    DAY_MOVED: {
      description:
        'It is kept on an earlier day than before; or, after that was heard, on a later one again, not after the promised day.',
    },
  },
})

const NewsType = builder.objectRef<PromiseNews>('PromiseNews').implement({
  description:
    'A promise that is at risk, is so in another way than before, is safe again, or is kept on another day (F2).',
  fields: (t) => ({
    kind: t.expose('kind', { type: NewsKind, description: 'How it changed.' }),
    atRisk: t.exposeBoolean('atRisk', { description: 'Whether it is at risk; false: it is kept.' }),
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
    expectedBefore: t.expose('expectedBefore', {
      type: 'LocalDate',
      nullable: true,
      description: 'The day on which it was wholly served before. Absent: its day has not moved, or it was not kept.',
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
      'Each promise that a fact, an order or a new plan puts at risk from now on, each that is safe again, and each that is kept on an earlier day than before.',
    ),
    type: NewsType,
    args: {
      after: t.arg.int({
        description:
          'A revision: what happened since it is heard first, without a gap, as by one whose connection broke; `NEWS_GONE` where that can not be said whole. Absent: from now on.',
      }),
    },
    subscribe: (_root, { after }, { actor }) => watchPromises(actor, after),
    resolve: (news) => news,
  }),
)
