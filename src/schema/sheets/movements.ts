// Movements for accounting: every dispatch, return and loss, one entry of the ledger each, in the order in which they were booked.
import { changedSinceWords } from '../../resolvers/changes/updated.ts'
import { countMovements, movementFilter, readMovements } from '../../resolvers/sheets/read-movements.ts'
import { MOVEMENT_KINDS, type Movement, type MovementKind } from '../../sheets/movement.ts'
import { builder } from '../builder.ts'
import { feedCursor, positionOf } from '../changes/change.ts'
import { costOfPage, type Page, type PageArgs, pageArgs, pageAsked, pagedBy, pageOf } from '../changes/connection.ts'
import { CHANGE_PLACE } from '../cursors.ts'
import { needs } from '../needs.ts'
import { rowType } from '../row-type.ts'
import { ThingRefInput } from '../thing-ref.ts'

const KIND_WORDS: Readonly<Record<MovementKind, string>> = {
  DISPATCHED: 'Filled containers left their site for an order.',
  REFUSED: 'Filled containers came back from the road to their lot.',
  DELIVERED: 'Filled containers came from the road to an account.',
  RETURNED: 'Empty containers came back from an account.',
  ISSUED: 'Filled containers left without an order: own bar, sample, breakage.',
  DESTROYED: 'Filled containers were emptied away.',
  CONTAINERS_LOST: 'Containers were lost or scrapped, full or empty, said or found by a count.',
  BEER_LOST: 'Beer of a batch was lost or dumped: trub, set-up, overfill, spoiled, what remained, counted.',
}

const MovementKindType = builder.enumType('MovementKind', {
  description: 'How beer and containers moved.',
  values: Object.fromEntries(MOVEMENT_KINDS.map((kind) => [kind, { description: KIND_WORDS[kind] }])),
})

const MovementType = builder.objectRef<Movement>('Movement')
MovementType.implement({
  description:
    'A dispatch, a return or a loss, as the ledger has it. It never changes: a correction is a movement of its own, with amounts below zero.',
  fields: (t) => ({
    ...movedThings(t),
    kind: t.field({ type: MovementKindType, description: 'How it moved.', resolve: ({ kind }) => kind }),
    day: t.expose('day', {
      type: 'LocalDate',
      description: 'The day on which it counts; of a correction of a closed day the first open one.',
    }),
    revision: t.exposeInt('revision', { description: 'The revision that booked it: with `n` it names the movement.' }),
    n: t.exposeInt('n', { description: 'Its number within the revision.' }),
    isReversal: t.exposeBoolean('isReversal', { description: 'Whether it takes back an earlier movement.' }),
    isAssumed: t.exposeBoolean('isAssumed', {
      description: 'Whether its fact was assumed when its day was over and not said by a person yet.',
    }),
    containers: t.exposeInt('containers', { description: 'Whole containers; 0 of beer that was lost from a vessel.' }),
    litres: t.exposeFloat('litres', {
      description: 'Litres of beer, of containers the nominal ones; 0 of empty containers.',
    }),
    abv: t.float({
      nullable: true,
      description:
        'Alcohol by volume, per cent: as it was said of the brew, of a blend the mean of its parts by volume; else as the beer should be. Absent: not known, or no beer.',
      resolve: ({ strength }) => strength?.abv ?? null,
    }),
    isAbvExpected: t.boolean({
      description: 'Whether `abv` is what the beer should have, since none was said of a brew that is in it.',
      resolve: ({ strength }) => strength?.isExpected ?? false,
    }),
    depositContainers: t.int({
      description:
        'Containers whose deposit falls due with it: those that came to an account; below zero: those that came back from one.',
      resolve: ({ deposits }) => deposits,
    }),
  }),
})

/** What moved, and between whom. */
function movedThings(t: PothosSchemaTypes.ObjectFieldBuilder<typeof builder.$inferSchemaTypes, Movement>) {
  return {
    account: t.field({
      type: rowType('Account'),
      nullable: true,
      description: 'The account. Absent: none has to do with it.',
      resolve: ({ accountId }, _args, { rows }) => (accountId === undefined ? null : rows.account.load(accountId)),
    }),
    orderNumber: t.int({
      nullable: true,
      description: 'The number of the order. Absent: of none.',
      resolve: ({ orderNumber }) => orderNumber ?? null,
    }),
    orderRef: t.string({
      nullable: true,
      description: "The caller's own reference of the order. Absent: of none, or it has none.",
      resolve: ({ orderRef }) => orderRef ?? null,
    }),
    lot: t.field({
      type: rowType('StockLot'),
      nullable: true,
      description: 'The lot. Absent: of empty containers, or of beer in a vessel.',
      resolve: ({ lotId }, _args, { rows }) => (lotId === undefined ? null : rows.stockLot.load(lotId)),
    }),
    batch: t.field({
      type: rowType('Batch'),
      nullable: true,
      description: 'The batch of the beer. Absent: of no beer, or the lot names none.',
      resolve: ({ batchId }, _args, { rows }) => (batchId === undefined ? null : rows.batch.load(batchId)),
    }),
    beer: t.field({
      type: rowType('Beer'),
      nullable: true,
      description: 'The beer. Absent: of empty containers.',
      resolve: ({ beerId }, _args, { rows }) => (beerId === undefined ? null : rows.beer.load(beerId)),
    }),
    containerType: t.field({
      type: rowType('ContainerType'),
      nullable: true,
      description: 'The container. Absent: of beer in a vessel.',
      resolve: ({ containerTypeId: id }, _args, { rows }) => (id === undefined ? null : rows.containerType.load(id)),
    }),
  }
}

const MovementEdge = builder.objectRef<{ cursor: string; node: Movement }>('MovementEdge').implement({
  description: 'One of the movements of a page.',
  fields: (t) => ({
    cursor: t.exposeString('cursor', { description: 'Where the movement stands in the ledger; opaque.' }),
    node: t.expose('node', { type: MovementType, description: 'The movement.' }),
  }),
})

const MovementConnection = builder.objectRef<Page<Movement>>('MovementConnection').implement({
  description: 'A page of movements.',
  extensions: pagedBy('distributorId_revision_n'),
  fields: (t) => ({
    edges: t.expose('edges', {
      type: [MovementEdge],
      description: 'The movements of this page, each with its cursor.',
    }),
    pageInfo: t.expose('pageInfo', {
      type: builder.pageInfoRef(),
      description: 'Whether there is more, and from where to go on.',
    }),
    totalCount: t.int({
      description: 'How many movements there are over all pages.',
      resolve: ({ totalCount }) => totalCount(),
    }),
  }),
})

const MovementFilterInput = builder.inputType('MovementFilter', {
  description: 'Which movements a list has.',
  fields: (t) => ({
    kinds: t.field({
      type: [MovementKindType],
      description: `Only movements of these kinds; at most ${MOVEMENT_KINDS.length}. Absent: of all.`,
    }),
    from: t.field({ type: 'LocalDate', description: 'The first day on which they count. Absent: any.' }),
    to: t.field({ type: 'LocalDate', description: 'The last day on which they count. Absent: any.' }),
    site: t.field({ type: ThingRefInput, description: 'Only what happened at this site. Absent: at all.' }),
    changedSince: t.field({ type: 'DateTime', description: changedSinceWords('movements whose facts') }),
  }),
})

builder.queryField('movements', (t) =>
  t.field({
    ...needs(
      'movements:read',
      'Every dispatch, return and loss, for accounting, in the order in which the ledger has them: ask again with `after` for what was booked since.',
    ),
    type: MovementConnection,
    nullable: true,
    args: {
      ...pageArgs('movements'),
      filter: t.arg({ type: MovementFilterInput, description: 'Which movements. Absent: all.' }),
    },
    complexity: (args: PageArgs) => costOfPage(args),
    resolve: async (_root, { filter, ...page }, context): Promise<Page<Movement>> => {
      const { actor } = context
      const { after, before, ...asked } = pageAsked(page, CHANGE_PLACE)
      const which = await movementFilter(actor, filter ?? undefined)
      const places = { after: positionOf(after), before: positionOf(before) }
      const read = await readMovements(actor, which, { ...asked, ...places })
      const cursorOf = (movement: Movement) => feedCursor(context, movement)
      return pageOf(read.movements, read, cursorOf, () => countMovements(actor, which))
    },
  }),
)
