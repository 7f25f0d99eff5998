// Facts about containers with beer in them: filled, kept back, released, destroyed, issued without an order.
import { z } from 'zod'
import { dateOf } from '../../../database/calendar-day.ts'
import { issue } from '../../../errors.ts'
import { containerMillilitres } from '../../../floor/container-volumes.ts'
import type { FactData } from '../../../floor/facts/fact.ts'
import { lotCode } from '../../../floor/lot-code.ts'
import { addDays, type LocalDate, type Plan } from '../../../planner/documents/index.ts'
import { thingRef } from '../../thing-ref.ts'
import { decisionName, type FactContext, factKind, type Meant, said, type Warning } from '../fact-kind.ts'
import { type FoundBatch, type FoundLot, findBatch, findLot, millilitres, noteUnplanned } from './find.ts'

const count = z.int().min(0).max(100_000)
const some = z.int().min(1).max(100_000)

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
  const was = context.corrects?.kind === 'FILLED' ? context.corrects.data : undefined
  const run = was ? undefined : plan?.fillRuns.find(({ id }) => id === given.fillRun)
  const known = was ?? run
  if (given.fillRun !== undefined && !known) noteUnplanned(context, 'fillRun', given.fillRun)
  for (const key of ['batch', 'pack'] as const)
    if (given.fillRun === undefined && given[key] === undefined && !known)
      note(issue(path(key), 'MISSING_VALUE', 'say it, or name the planned run'))
  if (given.quantity + given.spoiled === 0)
    note(issue(path('quantity'), 'MISSING_VALUE', 'a fill fills or spoils at least one container'))
  const batch = given.batch ? await findBatch(context, given.batch) : known && (await batchOfRun(context, known))
  const packId = given.pack ? await refs.id('Pack', given.pack, path('pack'), { retired: true }) : known?.packId
  const fillerId = given.filler
    ? await refs.id('Filler', given.filler, path('filler'), { retired: true })
    : known?.fillerId
  if (!batch || !packId) return undefined
  const pack = await tx.pack.findUniqueOrThrow({
    where: { distributorId_id: { distributorId, id: packId } },
    include: { containerType: true },
  })
  if (pack.beerId !== batch.beerId)
    note(issue(path('pack'), 'BATCH_OF_OTHER_BEER', `${pack.name} is of another beer than the batch "${batch.code}"`))
  const day = context.dayAt(batch.vessel.site)
  const lot = (await sameLot(context, was, batch.id, pack.id)) ?? (await lotOf(context, batch, pack.id, day))
  const container = containerMillilitres(pack.containerType)
  const warnings = fillWarnings(batch, (given.quantity + given.spoiled) * (container.nominalMl + container.overfillMl))
  const setUpMl = await setUpLoss(context, { batchId: batch.id, packId: pack.id, fillerId, day })
  const emptied = given.emptied ?? was?.emptied ?? (run !== undefined && !given.more && isLastDraw(plan, run))
  return {
    happened: {
      kind: 'FILLED',
      data: {
        ...{ batchId: batch.id, packId: pack.id, lotId: lot.id, siteId: batch.siteId, typeId: pack.containerTypeId },
        ...{ fillerId: fillerId === '' ? undefined : fillerId, quantity: given.quantity, ...container },
        ...{ spoiled: given.spoiled, setUpMl, lostMl: millilitres(given.litresLost), emptied, from: batch.vesselKind },
        quarantined: batch.quarantined || batch.emptiedOn !== null,
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
      if (lot.exists && !was) return
      const data = {
        distributorId,
        id: lot.id,
        code: lot.code,
        siteId: batch.siteId,
        packId: pack.id,
        batchId: batch.id,
      }
      const readyOn = dateOf(addDays(day, pack.conditioningDays))
      const bestBefore = dateOf(addDays(day, pack.shelfLifeDays))
      const begins = { ...data, filledOn: dateOf(day), readyOn, bestBefore }
      const where = { distributorId_id: { distributorId, id: lot.id } }
      await tx.stockLot.upsert({ where, create: { ...begins, quantity: 0 }, update: begins })
    },
  }
}

function fillWarnings(batch: FoundBatch, drawnMl: number): Warning[] {
  const { quarantined, emptiedOn, litres, code } = batch
  const state = quarantined ? 'quarantined' : 'emptied'
  return [
    ...(quarantined || emptiedOn
      ? [{ code: 'FROM_QUARANTINE' as const, message: `The batch ${code} is ${state}: the lot starts quarantined.` }]
      : []),
    ...(drawnMl > millilitres(litres)
      ? [{ code: 'MORE_THAN_KNOWN' as const, message: `More was filled than the ${litres} L that were known.` }]
      : []),
  ]
}

/** The batch of a planned run; of a run from a planned brew there is none until the brew is said. */
async function batchOfRun(context: FactContext, run: { batchId: string }): Promise<FoundBatch | undefined> {
  const { tx, distributorId, note, path } = context
  const batch = await tx.batch.findUnique({
    where: { distributorId_id: { distributorId, id: run.batchId } },
    include: { beer: true, vessel: { include: { site: true } } },
  })
  if (!batch) note(issue(path('fillRun'), 'NOT_BREWED', 'the run fills from a brew that has not been said to be made'))
  return batch ?? undefined
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

/** The lot of a fill: one for each site, day, batch and pack. */
async function lotOf(
  { tx, distributorId }: FactContext,
  batch: FoundBatch,
  packId: string,
  day: LocalDate,
): Promise<{ id: string; code: string; exists: boolean }> {
  for (let sequence = 0; ; sequence++) {
    const code = lotCode({ site: batch.vessel.site.number, day, batchId: batch.id, packId, sequence })
    const known = await tx.stockLot.findFirst({ where: { distributorId, code } })
    if (!known) return { id: `lot-${code}`, code, exists: false }
    if (known.batchId === batch.id && known.packId === packId && known.filledOn.getTime() === dateOf(day).getTime())
      return { id: known.id, code, exists: true }
  }
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

/** Whether nothing more is planned to be drawn from the vessel after a run: then it is emptied by it. */
function isLastDraw(plan: Plan | undefined, run: Plan['fillRuns'][number]): boolean {
  if (!plan) return false
  const others = plan.fillRuns.filter(({ id, batchId }) => id !== run.id && batchId === run.batchId)
  return others.length === 0 && !plan.transfers.some(({ batchId }) => batchId === run.batchId)
}

/** A fact about a lot that moves nothing else. */
function aboutLot(lot: FoundLot, happened: Meant['happened']): Meant {
  return {
    happened,
    siteId: lot.siteId,
    subjects: [{ kind: 'LOT', id: lot.id }],
    carriedOut: [],
    warnings: [],
  }
}

const ofLot = { ...said, lot: thingRef }

export const lotQuarantined = factKind({
  shape: z.strictObject({ ...ofLot, why: z.string().min(1).max(500).optional() }),
  mean: async (context, { lot: ref, why }) => {
    const lot = await findLot(context, ref)
    if (!lot) return undefined
    context.dayAt(lot.site)
    return aboutLot(lot, { kind: 'LOT_QUARANTINED', data: { lotId: lot.id, why } })
  },
})

export const lotReleased = factKind({
  shape: z.strictObject(ofLot),
  mean: async (context, { lot: ref }) => {
    const lot = await findLot(context, ref)
    if (!lot) return undefined
    context.dayAt(lot.site)
    return aboutLot(lot, { kind: 'LOT_RELEASED', data: { lotId: lot.id } })
  },
})

export const lotDestroyed = factKind({
  shape: z.strictObject({ ...ofLot, quantity: some.optional(), keepsContainers: z.boolean().default(true) }),
  mean: async (context, { lot: ref, quantity: asked, keepsContainers }) => {
    const lot = await findLot(context, ref)
    if (!lot) return undefined
    context.dayAt(lot.site)
    const quantity = asked ?? lot.quantity
    if (quantity === 0) {
      context.note(issue(context.path('quantity'), 'MISSING_VALUE', `nothing of the lot ${lot.code} is there`))
      return undefined
    }
    const { nominalMl } = containerMillilitres(lot.pack.containerType)
    const fleet = { siteId: lot.siteId, typeId: lot.pack.containerTypeId }
    const data = { lotId: lot.id, ...fleet, quantity, nominalMl, keepsContainers }
    return { ...aboutLot(lot, { kind: 'LOT_DESTROYED', data }), warnings: tooMany(lot, quantity) }
  },
})

export const issued = factKind({
  shape: z.strictObject({ ...ofLot, quantity: some, to: z.enum(['OWN_BAR', 'SAMPLE', 'BREAKAGE']) }),
  mean: async (context, { lot: ref, quantity, to }) => {
    const lot = await findLot(context, ref)
    if (!lot) return undefined
    context.dayAt(lot.site)
    const data = { lotId: lot.id, siteId: lot.siteId, typeId: lot.pack.containerTypeId, quantity, to }
    return { ...aboutLot(lot, { kind: 'ISSUED', data }), warnings: tooMany(lot, quantity) }
  },
})

export function tooMany(lot: FoundLot, quantity: number): Warning[] {
  return quantity > lot.quantity
    ? [
        {
          code: 'MORE_THAN_KNOWN',
          message: `${quantity} left the lot ${lot.code}, of which ${lot.quantity} were known.`,
        },
      ]
    : []
}
