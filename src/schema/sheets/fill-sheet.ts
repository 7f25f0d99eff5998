// The fill sheet of a site and a day.
import { readFillSheet } from '../../resolvers/sheets/fill-sheet.ts'
import type { FilledAlready, FillFigures, FillSheet, FillSheetRun } from '../../sheets/fill-sheet.ts'
import { builder } from '../builder.ts'
import { needs } from '../needs.ts'
import { rowType } from '../row-type.ts'
import { ThingRefInput } from '../thing-ref.ts'
import { CAUTIONS } from './caution.ts'
import { FigureType } from './figure.ts'
import { FillStepType } from './fill-step.ts'
import { MOST, nextWork, sheetHead } from './sheet-head.ts'

const FIGURES: Readonly<Record<keyof FillFigures, string>> = {
  finings: 'Finings for one container, mL. Absent: the pack gets none.',
  sugar:
    'Priming sugar for one container, g; without a value where nothing proves that the beer has fermented. Absent: the pack is not primed.',
  hops: 'Hops for one container, g. Absent: the pack gets none.',
  sanitiser: 'Sanitiser for one container, mL.',
  carbonation: "Volumes of CO₂ once the containers are conditioned, with a warning outside the pack's band.",
  co2: 'CO₂ that takes the place of the beer that is drawn, kg. Absent: the vessel is emptied and may breathe.',
  weight: 'Weight of one full container, kg.',
}

const FillRunOnSheet = builder.objectRef<FillSheetRun>('FillSheetRun')
FillRunOnSheet.implement({
  description: 'A run of the plan in force, as it is filled.',
  fields: (t) => ({
    ...runThings(t),
    quantity: t.exposeInt('quantity', { description: 'Whole containers.' }),
    litres: t.exposeFloat('litres', {
      description: 'Litres that leave the vessel, what is filled on top included (L2).',
    }),
    lossLitres: t.exposeFloat('lossLitres', {
      description: 'Litres that setting up the filler loses; 0 where another run of the day has the loss (L1).',
    }),
    leftLitres: t.exposeFloat('leftLitres', { description: 'Litres in the vessel when the work of the day is done.' }),
    isEmptied: t.exposeBoolean('isEmptied', { description: 'Whether the fills of the day empty the vessel.' }),
    movesOn: t.field({
      type: 'LocalDate',
      nullable: true,
      description: 'The day on which what is left goes to a bright vessel. Absent: it does not.',
      resolve: ({ movesOn }) => movesOn?.on ?? null,
    }),
    keystones: t.int({ description: 'Keystones; none for kegs.', resolve: ({ closures }) => closures.keystones }),
    shives: t.int({ description: 'Shives; none for kegs.', resolve: ({ closures }) => closures.shives }),
    fitOn: t.expose('fitOn', { type: 'LocalDate', description: 'The first day on which it may leave (B3).' }),
    bestBefore: t.expose('bestBefore', { type: 'LocalDate', description: 'Best before (B4).' }),
    lotCode: t.exposeString('lotCode', { description: 'The code of the lot, known from the plan on.' }),
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
    label: t.stringList({
      description: 'What the label says; at most six lines. A strength that was not said is marked as expected.',
      resolve: ({ label }) => label,
    }),
    steps: t.field({
      type: [FillStepType],
      description: 'The working order; at most 14 steps.',
      complexity: { field: 1, multiplier: 12 },
      resolve: ({ steps }) => steps,
    }),
  }),
})

for (const [name, description] of Object.entries(FIGURES))
  builder.objectField(FillRunOnSheet, name, (t) =>
    t.field({
      type: FigureType,
      nullable: true,
      description,
      resolve: ({ figures }) => Object.entries(figures).find(([key]) => key === name)?.[1] ?? null,
    }),
  )

/** What the run is of, and what it needs. */
function runThings(t: PothosSchemaTypes.ObjectFieldBuilder<typeof builder.$inferSchemaTypes, FillSheetRun>) {
  return {
    decision: t.exposeString('decisionId', {
      description: 'The id of the run, as the fact that says it names it (`fillRun`).',
    }),
    beer: t.field({
      type: rowType('Beer'),
      nullable: true,
      description: 'The beer.',
      resolve: ({ beer }, _args, { rows }) => rows.beer.load(beer.id),
    }),
    batch: t.field({
      type: rowType('Batch'),
      nullable: true,
      description: 'The batch. Absent: its brew is yet to be made.',
      resolve: ({ batchId }, _args, { rows }) => rows.batch.load(batchId),
    }),
    vessel: t.field({
      type: rowType('Vessel'),
      nullable: true,
      description: 'The vessel that it is drawn from.',
      resolve: ({ vessel }, _args, { rows }) => rows.vessel.load(vessel.id),
    }),
    filler: t.field({
      type: rowType('Filler'),
      nullable: true,
      description: 'The filler.',
      resolve: ({ filler }, _args, { rows }) => rows.filler.load(filler.id),
    }),
    pack: t.field({
      type: rowType('Pack'),
      nullable: true,
      description: 'The pack.',
      resolve: ({ pack }, _args, { rows }) => rows.pack.load(pack.id),
    }),
  }
}

const FilledAlreadyType = builder.objectRef<FilledAlready>('FilledAlready').implement({
  description: 'A fill of the day that a fact says already.',
  fields: (t) => ({
    fact: t.field({
      type: rowType('Fact'),
      nullable: true,
      description: 'The fact.',
      resolve: ({ factId }, _args, { rows }) => rows.fact.load(factId),
    }),
    pack: t.field({
      type: rowType('Pack'),
      nullable: true,
      description: 'The pack.',
      resolve: ({ packId }, _args, { rows }) => rows.pack.load(packId),
    }),
    quantity: t.exposeInt('quantity', { description: 'Whole containers.' }),
    lotCode: t.exposeString('lotCode', { description: 'The code of the lot.' }),
    isAssumed: t.exposeBoolean('isAssumed', { description: 'Whether it was assumed and not said by a person yet.' }),
  }),
})

const FillSheetType = builder.objectRef<FillSheet>('FillSheet').implement({
  description: 'What is filled at a site on a day, in working order, each figure with how it was reached.',
  fields: (t) => ({
    ...sheetHead(t),
    nextDay: nextWork(t),
    runs: t.field({
      type: [FillRunOnSheet],
      description: `Runs of the plan in force, fermenters first (T4); at most ${MOST}.`,
      complexity: { field: 1, multiplier: 10 },
      resolve: ({ runs }) => runs.slice(0, MOST),
    }),
    filled: t.field({
      type: [FilledAlreadyType],
      description: `Fills of the day that facts say already; at most ${MOST}.`,
      complexity: { field: 1, multiplier: 10 },
      resolve: ({ filled }) => filled.slice(0, MOST),
    }),
    cautions: t.field(CAUTIONS),
  }),
})

builder.queryField('fillSheet', (t) =>
  t.field({
    ...needs('plan:read', 'What is filled at a site on a day, with every figure that the filling needs.'),
    type: FillSheetType,
    nullable: true,
    args: {
      site: t.arg({ type: ThingRefInput, required: true, description: 'The site.' }),
      day: t.arg({ type: 'LocalDate', description: "The day. Absent: the site's today, or the day of the run." }),
      fillRun: t.arg.string({ description: 'One run of the plan in force alone. Absent: all of the day.' }),
    },
    complexity: { field: 50, multiplier: 1 },
    resolve: async (_root, args, context) => readFillSheet(await context.askPlanner(), args),
  }),
)
