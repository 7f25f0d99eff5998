// Keys: which caller may do what. The key itself is shown once, when it is made.
import type { CreatedKey } from '../../resolvers/access/keys.ts'
import { createApiKey, MOST_OVERLAP_MINUTES, revokeApiKey, rotateApiKey } from '../../resolvers/access/keys.ts'
import type { Written } from '../../resolvers/written.ts'
import { ALL_SCOPES, SCOPES } from '../../scopes.ts'
import { builder } from '../builder.ts'
import { SinceFilter, sinceWhere } from '../changes/since-filter.ts'
import { WRITE_ERRORS } from '../errors.ts'
import { needs } from '../needs.ts'
import { pages } from '../pages.ts'
import { revisionField, rowKey } from '../setup/setup.ts'

const SCOPE_LIST = ALL_SCOPES.map((scope) => `\`${scope}\`: ${SCOPES[scope]}`).join(' ')

builder.prismaNode('ApiKey', {
  authScopes: { scope: 'keys:write' },
  id: { resolve: ({ id }) => id },
  findUnique: (id, context) => rowKey(context, id),
  fields: (t) => ({
    name: t.exposeString('name'),
    scopes: t.exposeStringList('scopes', { description: `What the key allows; at most ${ALL_SCOPES.length}.` }),
    requiresIdempotencyKey: t.exposeBoolean('requiresIdempotencyKey'),
    createdAt: t.expose('createdAt', { type: 'DateTime' }),
    updatedAt: t.expose('updatedAt', { type: 'DateTime' }),
    revokedAt: t.expose('revokedAt', { type: 'DateTime', nullable: true }),
    expiresAt: t.expose('expiresAt', { type: 'DateTime', nullable: true }),
    lastUsedAt: t.expose('lastUsedAt', { type: 'DateTime', nullable: true }),
    rotatedAt: t.expose('rotatedAt', { type: 'DateTime', nullable: true }),
    formerUntil: t.expose('formerUntil', { type: 'DateTime', nullable: true }),
  }),
})

builder.queryField('apiKeys', (t) =>
  t.prismaConnection(
    {
      ...needs('keys:write', 'Keys in order of age, those revoked and those that are over too.'),
      type: 'ApiKey',
      cursor: 'distributorId_id',
      nullable: true,
      args: { filter: t.arg({ type: SinceFilter, description: 'Which keys. Absent: all.' }) },
      resolve: (query, _root, args, context) =>
        context.client.apiKey.findMany({
          ...query,
          where: sinceWhere(context, args),
          orderBy: [{ createdAt: 'asc' }, { id: 'asc' }],
        }),
      totalCount: (_root, args, context) => context.client.apiKey.count({ where: sinceWhere(context, args) }),
    },
    ...pages('ApiKey', 'keys'),
  ),
)

const CreateApiKeyInput = builder.inputType('CreateApiKeyInput', {
  description: 'A new key.',
  fields: (t) => ({
    name: t.string({ required: true, description: 'What the key is for; 1 to 200 characters.' }),
    scopes: t.stringList({
      required: true,
      description: `What the key allows, at least one and at most 50 scopes, and none that your own key lacks. ${SCOPE_LIST}`,
    }),
    expiresAt: t.field({
      type: 'DateTime',
      description: 'The instant from which it is no longer good; later than now. Absent: it does not end by itself.',
    }),
    requiresIdempotencyKey: t.boolean({
      description: 'Whether its mutations must have the header `Idempotency-Key`; they need not where not given.',
    }),
  }),
})

const RotateApiKeyInput = builder.inputType('RotateApiKeyInput', {
  description: 'A key that gets a new secret.',
  fields: (t) => ({
    id: t.id({ required: true, description: 'The id of the key (not the key itself).' }),
    overlapMinutes: t.int({
      description: `Minutes for which the secret of now goes on beside the new one; 0 to ${MOST_OVERLAP_MINUTES}, 0 where not given. A secret from before that one ends at once.`,
    }),
  }),
})

const RevokeApiKeyInput = builder.inputType('RevokeApiKeyInput', {
  description: 'A key to revoke.',
  fields: (t) => ({ id: t.id({ required: true, description: 'The id of the key (not the key itself).' }) }),
})

const CreateApiKeyPayload = builder.objectRef<CreatedKey>('CreateApiKeyPayload').implement({
  description: 'A key with its new secret.',
  fields: (t) => ({
    revision: revisionField(t),
    key: t.exposeString('key', { description: 'The key, which is shown only now: keep it safe.' }),
    apiKey: t.prismaField({
      type: 'ApiKey',
      description: 'What is known about the key.',
      resolve: (query, { id }, _args, context) =>
        context.client.apiKey.findUniqueOrThrow({ ...query, where: rowKey(context, id) }),
    }),
  }),
})

const ApiKeyPayload = builder.objectRef<Written>('ApiKeyPayload').implement({
  description: 'A key that was written.',
  fields: (t) => ({
    revision: revisionField(t),
    apiKey: t.prismaField({
      type: 'ApiKey',
      description: 'The key as it is now.',
      resolve: (query, { id }, _args, context) =>
        context.client.apiKey.findUniqueOrThrow({ ...query, where: rowKey(context, id) }),
    }),
  }),
})

builder.mutationFields((t) => ({
  createApiKey: t.field({
    ...needs('keys:write', 'Makes a key for your distributor.'),
    type: CreateApiKeyPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: CreateApiKeyInput, required: true, description: 'What the key is for.' }) },
    resolve: (_root, { input }, { actor, caller }) => createApiKey(actor, caller.scopes, input),
  }),
  rotateApiKey: t.field({
    ...needs(
      'keys:write',
      'Gives a key a new secret; its id, scopes and end stay. None whose scopes your own key lacks, and none that was revoked or is over.',
    ),
    type: CreateApiKeyPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: RotateApiKeyInput, required: true, description: 'Which key.' }) },
    resolve: (_root, { input }, { actor, caller }) => rotateApiKey(actor, caller.scopes, input),
  }),
  revokeApiKey: t.field({
    ...needs(
      'keys:write',
      'Revokes a key at once, for good. Webhooks that were registered with it are sent what happens as before: remove those that you do not know.',
    ),
    type: ApiKeyPayload,
    errors: WRITE_ERRORS,
    args: { input: t.arg({ type: RevokeApiKeyInput, required: true, description: 'Which key.' }) },
    resolve: (_root, { input }, { actor }) => revokeApiKey(actor, input),
  }),
}))
