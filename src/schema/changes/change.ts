// The change feed: every committed change in order, with the thing as it is now, for systems that follow.
import { ALL_CHANGE_KINDS, CHANGE_KINDS } from '../../database/change-kinds.ts'
import type { Position } from '../../resolvers/changes/position.ts'
import { type Change, countChanges, readChanges } from '../../resolvers/changes/read-changes.ts'
import { encodeGlobalId } from '../../resolvers/global-id.ts'
import { builder, thingOf } from '../builder.ts'
import type { Context } from '../context.ts'
import { CHANGE_PLACE, encodeCursor } from '../cursors.ts'
import { needs } from '../needs.ts'
import { costOfPage, type Page, type PageArgs, pageArgs, pageAsked, pagedBy, pageOf } from './connection.ts'

export const ChangeKindType = builder.enumType('ChangeKind', {
  description: 'What can happen to the records.',
  values: Object.fromEntries(ALL_CHANGE_KINDS.map((kind) => [kind, { value: kind, description: CHANGE_KINDS[kind] }])),
})

export const ChangeType = builder.objectRef<Change>('Change').implement({
  description: 'One committed change of one thing.',
  fields: (t) => ({
    revision: t.exposeInt('revision', { description: 'The revision of the records that it made.' }),
    n: t.exposeInt('n', {
      description: 'Its number within the revision, from 1; what your key may not read has numbers too.',
    }),
    kind: t.field({ type: ChangeKindType, description: 'What happened.', resolve: ({ kind }) => kind }),
    at: t.field({ type: 'DateTime', description: 'When it was committed.', resolve: ({ at }) => at }),
    by: t.string({
      nullable: true,
      description: 'The name of the key with which it was done. Absent: the program did it by itself.',
      resolve: async ({ keyId }, _args, { rows }) => (keyId === null ? null : (await rows.apiKey.load(keyId))?.name),
    }),
    isNew: t.exposeBoolean('isNew', { description: 'Whether it tells of something that was not there before.' }),
    entityType: t.exposeString('entityType', {
      description: 'The type of the thing that it is about, such as `Order`.',
    }),
    entityId: t.id({
      description: 'The id of the thing.',
      resolve: ({ entityType, entityId }) => encodeGlobalId(entityType, entityId),
    }),
    externalRef: t.string({
      nullable: true,
      description: 'Your own reference of the thing, as it was then. Absent: it has none.',
      resolve: async ({ entityType, entityId, externalRef }, _args, { rows }) =>
        externalRef ?? (entityType === 'OrderLine' ? (await rows.orderLine.load(entityId))?.externalRef : null),
    }),
    entity: t.field({
      type: builder.nodeInterfaceRef(),
      nullable: true,
      description:
        'The thing as it is now, which may be later than the change; of a fact, what it touched is in its fields. Absent: it is no longer kept, or it is the distributor itself.',
      resolve: ({ entityType, entityId }, _args, context, info) =>
        entityType === 'Distributor' ? null : thingOf(context, info, entityType, entityId),
    }),
  }),
})

const ChangeEdge = builder.objectRef<{ cursor: string; node: Change }>('ChangeEdge').implement({
  description: 'One of the changes of a page.',
  fields: (t) => ({
    cursor: t.exposeString('cursor', { description: 'Where the change stands in the feed; opaque.' }),
    node: t.expose('node', { type: ChangeType, description: 'The change.' }),
  }),
})

interface ChangesShown extends Page<Change> {
  position: string
}

const ChangeConnection = builder.objectRef<ChangesShown>('ChangeConnection').implement({
  description: 'A page of changes.',
  extensions: pagedBy('distributorId_revision_n'),
  fields: (t) => ({
    edges: t.expose('edges', { type: [ChangeEdge], description: 'The changes of this page, each with its cursor.' }),
    pageInfo: t.expose('pageInfo', {
      type: builder.pageInfoRef(),
      description: 'Whether there is more, and from where to go on.',
    }),
    totalCount: t.int({
      description: 'How many changes of these kinds are kept, over all pages.',
      resolve: ({ totalCount }) => totalCount(),
    }),
    position: t.exposeString('position', {
      description:
        'Up to where the feed was looked through: give it as `after` the next time, also where the page is empty. So a follower of rare kinds never falls behind what is kept.',
    }),
  }),
})

/** The cursor of a place in the feed. */
export function feedCursor({ distributorId }: Context, { revision, n, epoch }: Position): string {
  return encodeCursor([distributorId, revision, n, epoch])
}

/** The place that a cursor stands for. */
export function positionOf(values: [string, number, number, string] | undefined): Position | undefined {
  if (!values) return undefined
  const [, revision, n, epoch] = values
  return { revision, n, epoch }
}

builder.queryField('changes', (t) =>
  t.field({
    ...needs(
      'any',
      'Every change that was committed, the oldest first, without a gap: of the things that your key may read. Ask again with `after` as often as you like; start from `snapshot`.',
    ),
    type: ChangeConnection,
    nullable: true,
    args: {
      ...pageArgs('changes'),
      kinds: t.arg({
        type: [ChangeKindType],
        description: `Only changes of these kinds; at most ${ALL_CHANGE_KINDS.length}. Absent: of all.`,
      }),
    },
    complexity: (args: PageArgs) => costOfPage(args),
    resolve: async (_root, { kinds, ...page }, context): Promise<ChangesShown> => {
      const { actor } = context
      const of = kinds ?? undefined
      const { after, before, ...asked } = pageAsked(page, CHANGE_PLACE)
      const read = await readChanges(actor, {
        ...asked,
        kinds: of,
        after: positionOf(after),
        before: positionOf(before),
      })
      const shown = pageOf(
        read.changes,
        read,
        (change) => feedCursor(context, change),
        () => countChanges(actor, of),
      )
      return { ...shown, position: feedCursor(context, read.position) }
    },
  }),
)
