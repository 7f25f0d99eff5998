// Everything that is due at a site on a day, each with the kinds of fact that say that it is done.
import { readToday } from '../../resolvers/sheets/today.ts'
import { type DueWork, SAID_BY, TODAY_KINDS, type Today, type TodayKind } from '../../sheets/today.ts'
import { builder } from '../builder.ts'
import { FactKindType } from '../floor/fact-kind.ts'
import { needs } from '../needs.ts'
import { rowType } from '../row-type.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { CAUTIONS } from './caution.ts'
import { MOST, sheetHead } from './sheet-head.ts'

const KIND_WORDS: Readonly<Record<TodayKind, string>> = {
  READING:
    'A gravity, from a day before the expected end of fermentation until two equal ones prove it or the crash begins.',
  BREW: 'A brew.',
  DRY_HOP: 'Dry hopping.',
  CRASH: 'A crash to be begun.',
  FILL_FROM_FERMENTER: 'A fill from a fermenter.',
  DUMP: 'Beer to pour away.',
  TRANSFER: 'A transfer to a bright vessel.',
  FILL_FROM_BRIGHT: 'A fill from a bright vessel.',
  CLEAN_VESSEL:
    'A vessel that was emptied and has to be cleaned before the next batch; without a word it counts as clean when its turnaround is over (V3).',
  LOAD: 'What leaves on a route.',
  WASH: 'Containers that came back and were not said to be washed.',
  MOVE_BEER: 'Beer that must be out of its vessel within a week (V5).',
}

const TodayKindType = builder.enumType('TodayKind', {
  description: 'What is due, in the order of the day (T4).',
  values: Object.fromEntries(TODAY_KINDS.map((kind) => [kind, { description: KIND_WORDS[kind] }])),
})

const DueWorkType = builder.objectRef<DueWork>('DueWork')
DueWorkType.implement({
  description: 'One thing that is due. What it is not about is absent.',
  fields: (t) => ({
    kind: t.field({ type: TodayKindType, description: 'What it is.', resolve: ({ kind }) => kind }),
    decision: t.string({
      nullable: true,
      description:
        'The id of the planned decision that it carries out, as facts name it (`brew`, `fillRun`, `transfer`).',
      resolve: ({ decisionId }) => decisionId ?? null,
    }),
    ...workThings(t),
    quantity: t.int({
      nullable: true,
      description: 'Whole containers.',
      resolve: ({ quantity }) => quantity ?? null,
    }),
    litres: t.float({
      nullable: true,
      description: 'Litres brewed, drawn, moved, poured away or loaded.',
      resolve: ({ litres }) => litres ?? null,
    }),
    since: t.field({
      type: 'LocalDate',
      nullable: true,
      description: 'The day on which it was due, or the vessel emptied, where that was before the day asked for.',
      resolve: ({ since }) => since ?? null,
    }),
    by: t.field({
      type: 'LocalDate',
      nullable: true,
      description: 'The last day for it. Absent: the day itself.',
      resolve: ({ by }) => by ?? null,
    }),
    saidBy: t.field({
      type: [FactKindType],
      description: 'The kinds of fact that say that it is done; at most three.',
      resolve: ({ kind }) => [...SAID_BY[kind]],
    }),
    done: t.field({
      type: rowType('Fact'),
      nullable: true,
      description:
        'The fact that says that it was done; of several dispatches of a route the first. Absent: still to be done.',
      resolve: ({ done }, _args, { rows }) => (done ? rows.fact.load(done.factId) : null),
    }),
  }),
})

/** What the work is about. */
function workThings(t: PothosSchemaTypes.ObjectFieldBuilder<typeof builder.$inferSchemaTypes, DueWork>) {
  return {
    beer: t.field({
      type: rowType('Beer'),
      nullable: true,
      description: 'The beer.',
      resolve: ({ beerId: id }, _args, { rows }) => (id === undefined ? null : rows.beer.load(id)),
    }),
    batch: t.field({
      type: rowType('Batch'),
      nullable: true,
      description: 'The batch. Absent: of none, or of a brew that is yet to be made.',
      resolve: ({ batchId: id }, _args, { rows }) => (id === undefined ? null : rows.batch.load(id)),
    }),
    vessel: t.field({
      type: rowType('Vessel'),
      nullable: true,
      description: 'The vessel that the beer is in, is brewed into, or that is cleaned.',
      resolve: ({ vesselId: id }, _args, { rows }) => (id === undefined ? null : rows.vessel.load(id)),
    }),
    toVessel: t.field({
      type: rowType('Vessel'),
      nullable: true,
      description: 'The vessel that a transfer goes to.',
      resolve: ({ toVesselId: id }, _args, { rows }) => (id === undefined ? null : rows.vessel.load(id)),
    }),
    filler: t.field({
      type: rowType('Filler'),
      nullable: true,
      description: 'The filler of a fill.',
      resolve: ({ fillerId: id }, _args, { rows }) => (id === undefined ? null : rows.filler.load(id)),
    }),
    pack: t.field({
      type: rowType('Pack'),
      nullable: true,
      description: 'The pack of a fill.',
      resolve: ({ packId: id }, _args, { rows }) => (id === undefined ? null : rows.pack.load(id)),
    }),
    route: t.field({
      type: rowType('Route'),
      nullable: true,
      description: 'The route of a load.',
      resolve: ({ routeId: id }, _args, { rows }) => (id === undefined ? null : rows.route.load(id)),
    }),
    containerType: t.field({
      type: rowType('ContainerType'),
      nullable: true,
      description: 'The containers to wash.',
      resolve: ({ containerTypeId: id }, _args, { rows }) => (id === undefined ? null : rows.containerType.load(id)),
    }),
  }
}

/** A day of a brewery has about so many things to do. */
const USUAL_LENGTH = 30

const TodayType = builder.objectRef<Today>('Today').implement({
  description: 'Everything that is due at a site on a day.',
  fields: (t) => ({
    ...sheetHead(t),
    work: t.field({
      type: [DueWorkType],
      description: `In the order of the day; what is done of a kind stands behind what is still to be done. At most ${MOST}.`,
      complexity: { field: 1, multiplier: USUAL_LENGTH },
      resolve: ({ work }) => work.slice(0, MOST),
    }),
    cautions: t.field(CAUTIONS),
    toConfirm: t.exposeInt('toConfirm', {
      description: 'How many facts of the site were assumed, or are due, and wait: `unconfirmed` lists them.',
    }),
  }),
})

builder.queryField('today', (t) =>
  t.field({
    ...needs('plan:read', 'Everything that is due at a site on a day, by the plan in force and by what happened.'),
    type: TodayType,
    nullable: true,
    args: {
      site: t.arg({ type: ThingRefInput, required: true, description: 'The site.' }),
      day: t.arg({ type: 'LocalDate', description: "The day. Absent: the site's today." }),
    },
    complexity: { field: 50, multiplier: 1 },
    resolve: async (_root, args, context) => readToday(await context.askPlanner(), args),
  }),
)
