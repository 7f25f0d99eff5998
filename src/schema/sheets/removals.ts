// What left the brewery, as accounting wants it: by kind of movement, beer, container and strength.
import { MOST_DAYS, readRemovals } from '../../resolvers/sheets/removals.ts'
import { REMOVAL_KINDS, type RemovalKind, type RemovalLine, type Removals } from '../../sheets/removals.ts'
import { inUnit } from '../../sheets/volumes.ts'
import { builder } from '../builder.ts'
import { needs } from '../needs.ts'
import { rowType } from '../row-type.ts'
import { unitArg } from '../setup/volume.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { MOST, sheetMaking } from './sheet-head.ts'

const KIND_WORDS: Readonly<Record<RemovalKind, string>> = {
  DISPATCHED: 'Left for orders.',
  RETURNED: 'Came back to its lot from the road, refused at the door.',
  ISSUED: 'Left without an order: own bar, sample, breakage.',
  DESTROYED: 'Was emptied away.',
}

const RemovalKindType = builder.enumType('RemovalKind', {
  description: 'How filled containers left their site, or came back.',
  values: Object.fromEntries(REMOVAL_KINDS.map((kind) => [kind, { description: KIND_WORDS[kind] }])),
})

const ASSUMED = 'Whether it was assumed when its day was over and not said by a person yet.'
const BARRELS = 'US beer barrels'

const RemovalLineType = builder.objectRef<RemovalLine>('RemovalLine').implement({
  description: 'Filled containers of one beer, size and strength that moved one way.',
  fields: (t) => ({
    kind: t.field({ type: RemovalKindType, description: 'How they moved.', resolve: ({ kind }) => kind }),
    isAssumed: t.exposeBoolean('isAssumed', { description: ASSUMED }),
    beer: t.field({
      type: rowType('Beer'),
      nullable: true,
      description: 'The beer.',
      resolve: ({ beerId }, _args, { rows }) => rows.beer.load(beerId),
    }),
    containerType: t.field({
      type: rowType('ContainerType'),
      nullable: true,
      description: 'The container.',
      resolve: ({ containerTypeId }, _args, { rows }) => rows.containerType.load(containerTypeId),
    }),
    abv: t.float({
      nullable: true,
      description:
        'Alcohol by volume, per cent: as it was said of the brew, of a blend the mean of its parts by volume; else as the beer should be. Absent: not known.',
      resolve: ({ strength }) => strength?.abv ?? null,
    }),
    isAbvExpected: t.boolean({
      description: 'Whether `abv` is what the beer should have, since none was said of a brew that is in it.',
      resolve: ({ strength }) => strength?.isExpected ?? false,
    }),
    quantity: t.exposeInt('quantity', {
      description: 'Whole containers; below zero where a correction of an earlier, closed day takes back more.',
    }),
    litres: t.exposeFloat('litres', { description: 'Nominal litres.' }),
    barrels: t.exposeFloat('barrels', {
      description: `${BARRELS}, the equivalent of each container to five decimals (27 CFR 25.156).`,
    }),
    volume: t.float({
      args: { unit: unitArg(t) },
      description: 'The same in another unit.',
      resolve: ({ litres }, { unit }) => inUnit(litres, unit),
    }),
  }),
})

const RemovalTotalType = builder.objectRef<Removals['totals'][number]>('RemovalTotal').implement({
  description: 'All that moved one way, what was assumed apart.',
  fields: (t) => ({
    kind: t.field({ type: RemovalKindType, description: 'How it moved.', resolve: ({ kind }) => kind }),
    isAssumed: t.exposeBoolean('isAssumed', { description: ASSUMED }),
    litres: t.exposeFloat('litres', { description: 'Nominal litres.' }),
    barrels: t.exposeFloat('barrels', { description: `${BARRELS}, the sum rounded to two decimals (27 CFR 25.156).` }),
  }),
})

const RemovalsType = builder.objectRef<Removals>('Removals').implement({
  description:
    'Filled containers that left their sites in a span of days, by the ledger: a correction of a day that is closed counts on the first open one.',
  fields: (t) => ({
    from: t.expose('from', { type: 'LocalDate', description: 'The first day.' }),
    to: t.expose('to', { type: 'LocalDate', description: 'The last day.' }),
    ...sheetMaking(t),
    isClosed: t.exposeBoolean('isClosed', {
      description:
        'Whether all of it lies in closed periods (`changeDistributor(closedThrough)`): then it changes no more.',
    }),
    lines: t.field({
      type: [RemovalLineType],
      description: `By kind, beer, container and strength; at most ${MOST}.`,
      complexity: { field: 1, multiplier: 30 },
      resolve: ({ lines }) => lines.slice(0, MOST),
    }),
    totals: t.field({
      type: [RemovalTotalType],
      description: 'Sums by kind; at most eight.',
      complexity: { field: 1, multiplier: 4 },
      resolve: ({ totals }) => totals,
    }),
  }),
})

builder.queryField('removals', (t) =>
  t.field({
    ...needs('movements:read', 'What left the brewery, and came back, on a day or in a span of days.'),
    type: RemovalsType,
    nullable: true,
    args: {
      from: t.arg({ type: 'LocalDate', required: true, description: 'The first day.' }),
      to: t.arg({
        type: 'LocalDate',
        description: `The last day, at most ${MOST_DAYS} days in all. Absent: the first.`,
      }),
      site: t.arg({ type: ThingRefInput, description: 'Only what left this site. Absent: all sites.' }),
    },
    complexity: { field: 50, multiplier: 1 },
    resolve: async (_root, args, context) => readRemovals(await context.askPlanner(), args),
  }),
)
