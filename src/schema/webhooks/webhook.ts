// Webhooks: addresses of other systems that are sent what happens, signed by the Standard Webhooks specification.
import { ALL_CHANGE_KINDS, isChangeKind } from '../../database/change-kinds.ts'
import { MOST_OVERLAP_MINUTES } from '../../resolvers/access/keys.ts'
import { resendWebhookDelivery, testWebhook } from '../../resolvers/webhooks/deliveries.ts'
import {
  enableWebhook,
  MOST_WEBHOOKS,
  registerWebhook,
  removeWebhook,
  rotateWebhookSecret,
  type WebhookWithSecret,
} from '../../resolvers/webhooks/webhooks.ts'
import type { Written } from '../../resolvers/written.ts'
import { builder } from '../builder.ts'
import { ChangeKindType } from '../changes/change.ts'
import { SinceFilter, sinceWhere } from '../changes/since-filter.ts'
import { WRITE_ERRORS } from '../errors.ts'
import { needs } from '../needs.ts'
import { pages } from '../pages.ts'
import { revisionField, rowKey } from '../setup/setup.ts'
import { DeliveryState } from './delivery.ts'

builder.prismaNode('Webhook', {
  authScopes: { scope: 'webhooks:write' },
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    url: t.exposeString('url'),
    kinds: t.field({
      type: [ChangeKindType],
      description: `The kinds of change that it is sent, of things that its maker's key may read; at most ${ALL_CHANGE_KINDS.length}.`,
      resolve: ({ kinds }) => kinds.filter(isChangeKind),
    }),
    createdAt: t.expose('createdAt', { type: 'DateTime' }),
    updatedAt: t.expose('updatedAt', { type: 'DateTime' }),
    formerUntil: t.expose('formerUntil', { type: 'DateTime', nullable: true }),
    disabledAt: t.expose('disabledAt', { type: 'DateTime', nullable: true }),
    deliveries: t.prismaConnection(
      {
        type: 'WebhookDelivery',
        cursor: 'distributorId_id',
        description: 'What it was sent and is to be sent, the newest first; what was taken goes after a while.',
        args: { state: t.arg({ type: DeliveryState, description: 'Only those that stand so. Absent: all.' }) },
        resolve: (query, { distributorId, id }, { state }, { client }) =>
          client.webhookDelivery.findMany({
            ...query,
            where: { distributorId, webhookId: id, ...(state ? { state } : {}) },
            orderBy: { n: 'desc' },
          }),
        totalCount: ({ distributorId, id }, { state }, { client }) =>
          client.webhookDelivery.count({ where: { distributorId, webhookId: id, ...(state ? { state } : {}) } }),
      },
      ...pages('WebhookDelivery', 'deliveries'),
    ),
  }),
})

builder.queryField('webhooks', (t) =>
  t.prismaConnection(
    {
      ...needs('webhooks:write', `Webhooks in order of age; at most ${MOST_WEBHOOKS}.`),
      type: 'Webhook',
      cursor: 'distributorId_id',
      nullable: true,
      args: { filter: t.arg({ type: SinceFilter, description: 'Which webhooks. Absent: all.' }) },
      resolve: (query, _root, args, context) =>
        context.client.webhook.findMany({
          ...query,
          where: sinceWhere(context, args),
          orderBy: [{ createdAt: 'asc' }, { id: 'asc' }],
        }),
      totalCount: (_root, args, context) => context.client.webhook.count({ where: sinceWhere(context, args) }),
    },
    ...pages('Webhook', 'webhooks'),
  ),
)

const RegisterWebhookInput = builder.inputType('RegisterWebhookInput', {
  description: 'An address that is to be sent what happens.',
  fields: (t) => ({
    url: t.string({
      required: true,
      description: 'The address, such as `https://shop.example/hooks`; at most 2000 characters, without a password.',
    }),
    kinds: t.field({
      type: [ChangeKindType],
      required: true,
      description: `The kinds of change that it is sent: at least one, at most ${ALL_CHANGE_KINDS.length}.`,
    }),
  }),
})

const RotateWebhookSecretInput = builder.inputType('RotateWebhookSecretInput', {
  description: 'A webhook that gets a new secret.',
  fields: (t) => ({
    webhook: t.id({ required: true, description: 'The id of the webhook.' }),
    overlapMinutes: t.int({
      description: `Minutes for which messages are signed with the secret of now as well; 0 to ${MOST_OVERLAP_MINUTES}, 0 where not given.`,
    }),
  }),
})

const webhookInput = (name: string, description: string) =>
  builder.inputType(name, {
    description,
    fields: (t) => ({ webhook: t.id({ required: true, description: 'The id of the webhook.' }) }),
  })
const EnableWebhookInput = webhookInput('EnableWebhookInput', 'A webhook that was switched off.')
const RemoveWebhookInput = webhookInput('RemoveWebhookInput', 'A webhook to remove.')
const TestWebhookInput = webhookInput('TestWebhookInput', 'A webhook to try.')
const ResendWebhookDeliveryInput = builder.inputType('ResendWebhookDeliveryInput', {
  description: 'A delivery to send again.',
  fields: (t) => ({ delivery: t.id({ required: true, description: 'The id of the delivery.' }) }),
})

const WebhookSecretPayload = builder.objectRef<WebhookWithSecret>('WebhookSecretPayload').implement({
  description: 'A webhook with its new secret.',
  fields: (t) => ({
    revision: revisionField(t),
    secret: t.exposeString('secret', {
      description:
        "What messages are signed with, as receivers' libraries take it: `whsec_…`. Shown only now: keep it safe.",
    }),
    webhook: t.prismaField({
      type: 'Webhook',
      description: 'The webhook.',
      resolve: (query, { id }, _args, context) =>
        context.client.webhook.findUniqueOrThrow({ ...query, where: rowKey(context, id) }),
    }),
  }),
})

const WebhookPayload = builder.objectRef<Written>('WebhookPayload').implement({
  description: 'A webhook that was written.',
  fields: (t) => ({
    revision: revisionField(t),
    webhook: t.prismaField({
      type: 'Webhook',
      nullable: true,
      description: 'The webhook as it is now. Absent: it was removed.',
      resolve: (query, { id }, _args, context) =>
        context.client.webhook.findUnique({ ...query, where: rowKey(context, id) }),
    }),
  }),
})

const WebhookDeliveryPayload = builder.objectRef<Written>('WebhookDeliveryPayload').implement({
  description: 'A delivery that is sent.',
  fields: (t) => ({
    revision: revisionField(t),
    delivery: t.prismaField({
      type: 'WebhookDelivery',
      description: 'The delivery as it is now: look again in a moment.',
      resolve: (query, { id }, _args, context) =>
        context.client.webhookDelivery.findUniqueOrThrow({ ...query, where: rowKey(context, id) }),
    }),
  }),
})

const WHICH = 'Which one.'

builder.mutationFields((t) => ({
  registerWebhook: t.field({
    ...needs(
      'webhooks:write',
      'Registers an address that is sent what happens from now on: signed (Standard Webhooks 1.0.0), about each thing in order, at least once, again over three days. The body has `type` (the kind of change), `timestamp` and `data` with `revision`, `n`, `entityType`, `entityId`, `externalRef`, `isNew` and `afterGap` (the message before about the thing was given up): look at `changes` for how the thing is now. It stays until it is removed, also when the key that registered it is revoked or over.',
    ),
    type: WebhookSecretPayload,
    errors: WRITE_ERRORS,
    args: {
      input: t.arg({ type: RegisterWebhookInput, required: true, description: 'The address and what it is sent.' }),
    },
    resolve: (_root, { input }, { actor }) => registerWebhook(actor, input),
  }),
  rotateWebhookSecret: t.field({
    ...needs('webhooks:write', 'Gives a webhook a new secret.'),
    type: WebhookSecretPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: RotateWebhookSecretInput, required: true, description: WHICH }) },
    resolve: (_root, { input }, { actor }) => rotateWebhookSecret(actor, input),
  }),
  enableWebhook: t.field({
    ...needs('webhooks:write', 'Switches a webhook on again that answered 410; it goes on with what waits.'),
    type: WebhookPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: EnableWebhookInput, required: true, description: WHICH }) },
    resolve: (_root, { input }, { actor }) => enableWebhook(actor, input),
  }),
  removeWebhook: t.field({
    ...needs('webhooks:write', 'Removes a webhook, with what it was to be sent.'),
    type: WebhookPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: RemoveWebhookInput, required: true, description: WHICH }) },
    resolve: (_root, { input }, { actor }) => removeWebhook(actor, input),
  }),
  testWebhook: t.field({
    ...needs('webhooks:write', 'Sends a message of the type `TEST`, the way that others go.'),
    type: WebhookDeliveryPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: TestWebhookInput, required: true, description: WHICH }) },
    resolve: (_root, { input }, { actor }) => testWebhook(actor, input),
  }),
  resendWebhookDelivery: t.field({
    ...needs('webhooks:write', 'Sends a message again that was given up, or taken; its id stays.'),
    type: WebhookDeliveryPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: ResendWebhookDeliveryInput, required: true, description: WHICH }) },
    resolve: (_root, { input }, { actor }) => resendWebhookDelivery(actor, input),
  }),
}))
