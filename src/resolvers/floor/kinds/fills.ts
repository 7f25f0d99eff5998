// The fact that containers were filled: it makes or grows a lot.
import { z } from 'zod'
import { dateOf } from '../../../database/calendar-day.ts'
import { issue } from '../../../errors.ts'
import { containerMillilitres } from '../../../floor/container-volumes.ts'
import type { Fact, FactData } from '../../../floor/facts/fact.ts'
import { addDays, type LocalDate, type Plan } from '../../../planner/documents/index.ts'
import { thingRef } from '../../thing-ref.ts'
import { decisionName, type FactContext, factKind, type Meant, said, type Warning } from '../fact-kind.ts'
import { lotOfFill } from '../lot-codes.ts'
import {
  assumedByName,
  batchById,
  count,
  type FoundBatch,
  type FoundLot,
  findBatch,
  millilitres,
  noteUnplanned,
} from './find.ts'

const fillShape = z.strictObject({
  ...said,
  /** The planned run that it carries out. */
  fillRun: decisionName.optional(),
  batch: thingRef.optional(),
  pack: thingRef.optional(),
  filler: thingRef.optional(),
  quantity: count,
  spoiled: count.default(0),
  litresLost: z.number().min(0).max(100_000).default(0),
  emptied: z.boolean().optional(),
  more: z.boolean().default(false),
})

export const filled = factKind({ shape: fillShape, mean: meanFill })

/** What a fill means; of a planned run, what the input leaves out is as planned. */
export async function meanFill(context: FactContext, given: z.output<typeof fillShape>): Promise<Meant | undefined> {
  const { plan, refs, path, note, tx, distributorId } = context
  const namesake = plan?.fillRuns.find(({ id }) => id === given.fillRun)
  const named = context.corrects ?? (await fillAssumed(context, given.fillRun, namesake !== undefined))
  const run = named ? undefined : namesake
  const known = named?.kind === 'FILLED' ? named.data : run
  if (!known) noteUnknown(context, given, named !== undefined)
  if (given.quantity + given.spoiled === 0)
    note(issue(path('quantity'), 'MISSING_VALUE', 'a fill fills or spoils at least one container'))
  const found = given.batch ? await findBatch(context, given.batch) : known && (await batchOfRun(context, known))
  const packId = given.pack ? await refs.id('Pack', given.pack, path('pack'), { retired: true }) : known?.packId
  const fillerId = given.filler
    ? await refs.id('Filler', given.filler, path('filler'), { retired: true })
    : known?.fillerId
  if (!found || !packId) return undefined
  const before = named ?? (run ? undefined : await assumedAlike(context, found, packId))
  const was = before?.kind === 'FILLED' ? before.data : undefined
  const batch = before ? await batchById(context, found.id) : found
  const pack = await tx.pack.findUniqueOrThrow({
    where: { distributorId_id: { distributorId, id: packId } },
    include: { containerType: true },
  })
  if (pack.beerId !== batch.beerId)
    note(issue(path('pack'), 'BATCH_OF_OTHER_BEER', `${pack.name} is of another beer than the batch "${batch.code}"`))
  const day = context.dayAt(batch.vessel.site)
  const lot = (await sameLot(context, was, batch.id, pack.id)) ?? (await lotOf(context, batch, pack.id, day))
  const container = containerMillilitres(pack.containerType)
  const perContainer = container.nominalMl + container.overfillMl
  const warnings = fillWarnings(batch, pack, (given.quantity + given.spoiled) * perContainer)
  const setUpMl = await setUpLoss(context, { batchId: batch.id, packId: pack.id, fillerId, day })
  const isLast = was?.emptied ?? (run !== undefined && isLastDraw(plan, run, { batch, perContainer, setUpMl }))
  const emptied = given.emptied ?? (!given.more && isLast)
  return {
    happened: {
      kind: 'FILLED',
      data: {
        ...{ batchId: batch.id, packId: pack.id, lotId: lot.id, siteId: batch.siteId, typeId: pack.containerTypeId },
        ...{ fillerId: fillerId === '' ? undefined : fillerId, quantity: given.quantity, ...container },
        ...{ spoiled: given.spoiled, setUpMl, lostMl: millilitres(given.litresLost), emptied, from: batch.vesselKind },
        more: given.more,
        quarantined: isKeptBack(batch) || (isUnproven(batch, pack) && !context.isAssumed),
      },
    },
    siteId: batch.siteId,
    subjects: [
      { kind: 'BATCH', id: batch.id },
      { kind: 'LOT', id: lot.id },
      { kind: 'VESSEL', id: batch.vesselId },
    ],
    ...(run ? { decision: { kind: 'FILL_RUN' as const, id: run.id } } : {}),
    carriedOut: [
      {
        ...{ kind: 'FILL' as const, decisionId: run?.id, batchId: batch.id, packId: pack.id, lotId: lot.id, on: day },
        ...{ quantity: given.quantity, more: given.more, emptied },
      },
    ],
    warnings,
    create: async () => {
      if (!lot.exists || was) await beginLot(context, lot, { siteId: batch.siteId, batchId: batch.id, pack, day })
    },
  }
}

/** Writes the lot of a fill: its days follow from the day of the fill. */
async function beginLot(
  { tx, distributorId }: FactContext,
  { id, code }: { id: string; code: string },
  { pack, day, ...of }: { siteId: string; batchId: string; pack: FoundLot['pack']; day: LocalDate },
): Promise<void> {
  const days = {
    filledOn: dateOf(day),
    readyOn: dateOf(addDays(day, pack.conditioningDays)),
    bestBefore: dateOf(addDays(day, pack.shelfLifeDays)),
  }
  const data = { distributorId, id, code, ...of, packId: pack.id, ...days }
  const where = { distributorId_id: { distributorId, id } }
  await tx.stockLot.upsert({ where, create: { ...data, quantity: 0 }, update: data })
}

/** Of a primed container that was filled before two gravities proved that the beer has fermented. */
const UNPROVEN =
  'No two equal gravities a day apart prove that the beer has fermented: a primed container of it can burst, so that its lot is quarantined once a person says that it was filled. Take a gravity, keep people away from the containers, and vent them if it falls.'

/** Whether what comes from a batch starts quarantined: the batch is kept back, or was said to be empty. */
const isKeptBack = ({ quarantined, emptiedOn }: FoundBatch) => quarantined || emptiedOn !== null

/** Whether containers are primed although nothing proves that the beer has fermented. A beer without an expected gravity asks for no proof. */
function isUnproven({ beer, fermentationProven }: FoundBatch, { primed }: { primed: boolean }): boolean {
  return primed && beer.finalGravity !== null && !fermentationProven
}

/** What an assumed fill says once a person confirms it: primed beer without proof is quarantined then. */
export async function fillConfirmed(
  of: Pick<FactContext, 'tx' | 'distributorId'>,
  data: FactData<'FILLED'>,
): Promise<FactData<'FILLED'>> {
  const where = { distributorId_id: { distributorId: of.distributorId, id: data.packId } }
  const pack = await of.tx.pack.findUniqueOrThrow({ where })
  return { ...data, quarantined: data.quarantined || isUnproven(await batchById(of, data.batchId), pack) }
}

/** Notes what is missing where nothing is known of a run: neither the plan nor an assumed fact has it. */
function noteUnknown(context: FactContext, given: z.output<typeof fillShape>, isDue: boolean): void {
  const isUnplanned = given.fillRun !== undefined && !isDue
  if (isUnplanned) noteUnplanned(context, 'fillRun', given.fillRun ?? '')
  for (const key of ['batch', 'pack'] as const)
    if (!isUnplanned && given[key] === undefined)
      context.note(issue(context.path(key), 'MISSING_VALUE', 'say it, or name the planned run'))
}

function fillWarnings(batch: FoundBatch, pack: FoundLot['pack'], drawnMl: number): Warning[] {
  const { quarantined, litres, code } = batch
  const state = quarantined ? 'quarantined' : 'emptied'
  return [
    ...(isKeptBack(batch)
      ? [{ code: 'FROM_QUARANTINE' as const, message: `The batch ${code} is ${state}: the lot starts quarantined.` }]
      : []),
    ...(isUnproven(batch, pack) ? [{ code: 'FERMENTATION_UNPROVEN' as const, message: UNPROVEN }] : []),
    ...(drawnMl > millilitres(litres)
      ? [{ code: 'MORE_THAN_KNOWN' as const, message: `More was filled than the ${litres} L that were known.` }]
      : []),
  ]
}

/** What was assumed of the run that is named, and is said now. */
async function fillAssumed(
  context: FactContext,
  fillRun: string | undefined,
  isPlanned: boolean,
): Promise<Fact | undefined> {
  return fillRun === undefined
    ? undefined
    : assumedByName(context, 'FILLED', { kind: 'FILL_RUN', id: fillRun }, isPlanned)
}

/** A fill of the same batch and pack that was assumed of the day. */
function assumedAlike(
  { takeAssumed, dayAt }: FactContext,
  batch: FoundBatch,
  packId: string,
): Promise<Fact | undefined> {
  return takeAssumed({
    ...{ kinds: ['FILLED'], subjects: [{ kind: 'BATCH', id: batch.id }], on: dayAt(batch.vessel.site) },
    where: (fact) => fact.kind === 'FILLED' && fact.data.packId === packId,
  })
}

/** The batch of a planned run; of a run from a planned brew there is none until the brew is said. */
async function batchOfRun(context: FactContext, run: { batchId: string }): Promise<FoundBatch | undefined> {
  const { tx, distributorId, note, path } = context
  const where = { distributorId_id: { distributorId, id: run.batchId } }
  if (await tx.batch.findUnique({ where, select: { id: true } })) return batchById(context, run.batchId)
  note(issue(path('fillRun'), 'NOT_BREWED', 'the run fills from a brew that has not been said to be made'))
  return undefined
}

/** The lot of the fill that is corrected, which keeps its code; undefined where none is, or where it is of other beer now. */
async function sameLot(
  { tx, distributorId }: FactContext,
  was: FactData<'FILLED'> | undefined,
  batchId: string,
  packId: string,
): Promise<{ id: string; code: string; exists: boolean } | undefined> {
  if (!was || was.batchId !== batchId || was.packId !== packId) return undefined
  const where = { distributorId_id: { distributorId, id: was.lotId } }
  const { id, code } = await tx.stockLot.findUniqueOrThrow({ where })
  return { id, code, exists: true }
}

/** The lot of a fill; its code is the one that it had when it was planned. */
function lotOf(
  { tx, distributorId, plan }: FactContext,
  batch: FoundBatch,
  packId: string,
  day: LocalDate,
): ReturnType<typeof lotOfFill> {
  const planned = (plan?.fillRuns ?? []).filter(({ on }) => on === day)
  return lotOfFill(tx, distributorId, { site: batch.vessel.site.number, day, batchId: batch.id, packId }, planned)
}

/** The set-up loss of a filler (L1), unless this batch and pack was filled there that day already. */
async function setUpLoss(
  { tx, distributorId }: FactContext,
  {
    batchId,
    packId,
    fillerId,
    day,
  }: { batchId: string; packId: string; fillerId?: string | undefined; day: LocalDate },
): Promise<number> {
  if (fillerId === undefined || fillerId === '') return 0
  const filler = await tx.filler.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id: fillerId } } })
  const before = await tx.fact.findFirst({
    where: {
      ...{ distributorId, kind: 'FILLED', on: dateOf(day), replacedById: null },
      subjects: { some: { kind: 'BATCH', subjectId: batchId } },
      data: { path: ['packId'], equals: packId },
    },
  })
  return before ? 0 : millilitres(filler.setupLossLitres)
}

/**
 * Whether a run is the last that the plan draws from the vessel, and what is not to be dumped that day is too little for one more
 * container: then the vessel is emptied by it.
 */
function isLastDraw(
  plan: Plan | undefined,
  run: Plan['fillRuns'][number],
  { batch, perContainer, setUpMl }: { batch: FoundBatch; perContainer: number; setUpMl: number },
): boolean {
  if (!plan) return false
  const others = plan.fillRuns.filter(({ id, batchId }) => id !== run.id && batchId === run.batchId)
  const dumped = plan.dumped.filter(({ batchId }) => batchId === run.batchId)
  const isMoved = plan.transfers.some(({ batchId }) => batchId === run.batchId)
  if (others.length > 0 || isMoved || dumped.some(({ on }) => on > run.on)) return false
  const poured = dumped.reduce((sum, { litres }) => sum + litres, 0)
  return millilitres(batch.litres - poured) - run.quantity * perContainer - setUpMl < perContainer
}
