// Where a follower starts: all things in pages that no change reorders, with the place in the feed from which to go on.

import type { Position } from '../../resolvers/changes/position.ts'
import {
  countSnapshot,
  readSnapshot,
  SNAPSHOT_KINDS,
  type SnapshotKind,
  type SnapshotPlace,
} from '../../resolvers/changes/read-snapshot.ts'
import { encodeGlobalId } from '../../resolvers/global-id.ts'
import { builder, thingOf } from '../builder.ts'
import { encodeCursor, THING_PLACE } from '../cursors.ts'
import { needs } from '../needs.ts'
import { feedCursor } from './change.ts'
import { costOfPage, type Page, type PageArgs, pageArgs, pageAsked, pagedBy, pageOf } from './connection.ts'

const SnapshotKindType = builder.enumType('SnapshotKind', {
  description: 'The kinds of things of a snapshot, in its order.',
  values: Object.fromEntries(
    SNAPSHOT_KINDS.map((kind) => [kind, { value: kind, description: `Things of the type \`${kind}\`.` }]),
  ),
})

interface Thing extends SnapshotPlace {
  since: Position
}

const SnapshotThing = builder.objectRef<Thing>('SnapshotThing').implement({
  description: 'One thing of a snapshot.',
  fields: (t) => ({
    kind: t.field({
      type: SnapshotKindType,
      description: 'The kind of the thing.',
      resolve: ({ kind }) => kindOf(kind),
    }),
    entityId: t.id({
      description: 'The id of the thing.',
      resolve: ({ kind, id }) => encodeGlobalId(kindOf(kind), id),
    }),
    entity: t.field({
      type: builder.nodeInterfaceRef(),
      nullable: true,
      description: 'The thing as it is now. Absent: it went meanwhile.',
      resolve: ({ kind, id }, _args, context, info) => thingOf(context, info, kindOf(kind), id),
    }),
  }),
})

function kindOf(number: number): SnapshotKind {
  const kind = SNAPSHOT_KINDS[number]
  if (!kind) throw new Error(`a snapshot has no kind ${number}`)
  return kind
}

const SnapshotEdge = builder.objectRef<{ cursor: string; node: Thing }>('SnapshotEdge').implement({
  description: 'One of the things of a page.',
  fields: (t) => ({
    cursor: t.exposeString('cursor', { description: 'Where the thing stands in the snapshot; opaque.' }),
    node: t.expose('node', { type: SnapshotThing, description: 'The thing.' }),
  }),
})

interface SnapshotShown extends Page<Thing> {
  changesAfter: string
}

const SnapshotConnection = builder.objectRef<SnapshotShown>('SnapshotConnection').implement({
  description: 'A page of all things.',
  extensions: pagedBy('distributorId_kind_id'),
  fields: (t) => ({
    edges: t.expose('edges', { type: [SnapshotEdge], description: 'The things of this page, each with its cursor.' }),
    pageInfo: t.expose('pageInfo', {
      type: builder.pageInfoRef(),
      description: 'Whether there is more, and from where to go on.',
    }),
    totalCount: t.int({
      description: 'How many things there are over all pages.',
      resolve: ({ totalCount }) => totalCount(),
    }),
    changesAfter: t.exposeString('changesAfter', {
      description:
        'Once all pages are read, follow `changes` after this: it has all that was changed since the first page was begun, the same on each page.',
    }),
  }),
})

function placeOf(values: [string, number, string, number, number, string] | undefined) {
  if (!values) return undefined
  const [, kind, id, revision, n, epoch] = values
  return { kind, id, since: { revision, n, epoch } }
}

builder.queryField('snapshot', (t) =>
  t.field({
    ...needs(
      'any',
      'Where a follower starts, and starts anew: all things that your key may read, by kind and id. Things that change while you read the pages come again in `changes` after `changesAfter`.',
    ),
    type: SnapshotConnection,
    nullable: true,
    args: {
      ...pageArgs('things'),
      kinds: t.arg({
        type: [SnapshotKindType],
        description: `Only things of these kinds, the same for each page; at most ${SNAPSHOT_KINDS.length}. Absent: of all.`,
      }),
    },
    complexity: (args: PageArgs) => costOfPage(args),
    resolve: async (_root, { kinds, ...page }, context): Promise<SnapshotShown> => {
      const { actor, distributorId } = context
      const of = kinds ?? undefined
      const { after, before, ...asked } = pageAsked(page, THING_PLACE)
      const read = await readSnapshot(actor, { ...asked, kinds: of, after: placeOf(after), before: placeOf(before) })
      const cursorOf = ({ kind, id, since }: Thing) =>
        encodeCursor([distributorId, kind, id, since.revision, since.n, since.epoch])
      const shown = pageOf(read.things, read, cursorOf, () => countSnapshot(actor, of))
      return { ...shown, changesAfter: feedCursor(context, read.since) }
    },
  }),
)
