// What webhooks were sent, and are to be sent.
import { encodeGlobalId } from '../../resolvers/global-id.ts'
import { builder } from '../builder.ts'
import { rowKey } from '../setup/setup.ts'

export const DeliveryState = builder.enumType('DeliveryState', {
  description: 'How a delivery to a webhook stands.',
  values: {
    WAITING: { description: 'It waits for an attempt.' },
    DELIVERED: { description: 'The receiver took it: it answered with a status of 200 to 299.' },
    DEAD: { description: 'It was given up after ten attempts over three days.' },
  },
})

builder.prismaNode('WebhookDelivery', {
  authScopes: { scope: 'webhooks:write' },
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    messageId: t.exposeString('id', { description: 'The header `webhook-id` of each attempt.' }),
    kind: t.exposeString('kind'),
    revision: t.exposeInt('revision'),
    entityType: t.exposeString('entityType'),
    entityId: t.id({
      description: 'The id of the thing.',
      resolve: ({ entityType, entityId }) => encodeGlobalId(entityType, entityId),
    }),
    externalRef: t.exposeString('externalRef', { nullable: true }),
    at: t.expose('at', { type: 'DateTime' }),
    state: t.expose('state', { type: DeliveryState }),
    attempts: t.exposeInt('attempts'),
    nextAt: t.expose('nextAt', { type: 'DateTime' }),
    lastStatus: t.exposeInt('lastStatus', { nullable: true }),
    lastFailure: t.exposeString('lastFailure', { nullable: true }),
    endedAt: t.expose('endedAt', { type: 'DateTime', nullable: true }),
  }),
})
