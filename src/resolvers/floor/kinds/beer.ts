// Facts about beer in vessels: brewed, read, crashed, ready, transferred, dumped, kept back.
import { z } from 'zod'
import { dateOf } from '../../../database/calendar-day.ts'
import { issue } from '../../../errors.ts'
import { instantOf } from '../../../planner/documents/index.ts'
import { thingRef } from '../../thing-ref.ts'
import { decisionName, type FactContext, factKind, type Meant, said } from '../fact-kind.ts'
import { type FoundBatch, findBatch, findVessel, millilitres, noteUnplanned } from './find.ts'

/** Specific gravities that beer and wort have (common practice). */
const gravity = z.number().min(0.98).max(1.2)
const litres = z.number().min(0).max(1_000_000)
const someLitres = z.number().gt(0).max(1_000_000)
const decision = decisionName.optional()

export const brewed = factKind({
  shape: z.strictObject({
    ...said,
    /** The planned brew that it carries out. */
    brew: decision,
    beer: thingRef.optional(),
    vessel: thingRef.optional(),
    code: z.string().min(1).max(200).optional(),
    litres: someLitres.optional(),
    originalGravity: gravity.optional(),
    abv: z.number().min(0).max(25).optional(),
    ingredients: z
      .array(
        z.strictObject({
          name: z.string().min(1).max(200),
          lot: z.string().min(1).max(200),
          amount: z.string().min(1).max(200).optional(),
        }),
      )
      .max(100)
      .default([]),
  }),
  mean: meanBrew,
})

interface BrewInput {
  brew?: string | undefined
  beer?: z.output<typeof thingRef> | undefined
  vessel?: z.output<typeof thingRef> | undefined
  code?: string | undefined
  litres?: number | undefined
  originalGravity?: number | undefined
  abv?: number | undefined
  ingredients: { name: string; lot: string; amount?: string | undefined }[]
}

async function meanBrew(context: FactContext, given: BrewInput): Promise<Meant | undefined> {
  const { tx, distributorId, refs, path, note } = context
  const was = context.corrects?.kind === 'BREWED' ? context.corrects.data : undefined
  const planned = was
    ? { id: was.batchId, beerId: was.beerId, vesselId: was.vesselId, litres: was.ml / 1000 }
    : context.plan?.brews.find(({ id }) => id === given.brew)
  if (given.brew !== undefined && !planned) noteUnplanned(context, 'brew', given.brew)
  const missing = (['beer', 'vessel', 'litres'] as const).filter((key) => given[key] === undefined && !planned)
  if (given.brew === undefined)
    note(...missing.map((key) => issue(path(key), 'MISSING_VALUE', 'say it, or name the planned brew')))
  const beerId = given.beer ? await refs.id('Beer', given.beer, path('beer'), { retired: true }) : planned?.beerId
  const vessel = given.vessel ? await findVessel(context, given.vessel) : undefined
  const vesselId = vessel?.id ?? planned?.vesselId
  if (!beerId || !vesselId) return undefined
  const where = (id: string) => ({ distributorId_id: { distributorId, id } })
  const beer = await tx.beer.findUniqueOrThrow({ where: where(beerId) })
  const place = vessel ?? (await tx.vessel.findUniqueOrThrow({ where: where(vesselId), include: { site: true } }))
  if (place.kind !== 'FERMENTER') note(issue(path('vessel'), 'WRONG_VESSEL_KIND', `${place.name} is no fermenter`))
  const holder = await tx.batch.findFirst({ where: { distributorId, vesselId, emptiedOn: null } })
  if (holder && holder.id !== was?.batchId)
    note(issue(path('vessel'), 'VESSEL_HOLDS_TWO_BATCHES', `${place.name} holds the batch "${holder.code}" still`))
  const day = context.dayAt(place.site)
  const ml = millilitres(given.litres ?? planned?.litres ?? 0)
  if (ml > millilitres(place.capacityLitres))
    note(issue(path('litres'), 'MORE_THAN_VESSEL_HOLDS', `${place.name} holds ${place.capacityLitres} L`))
  const id = was?.batchId ?? (await freeBatchId(context, planned?.id))
  const known = was && (await tx.batch.findUnique({ where: where(id) }))
  const code = given.code ?? known?.code ?? (await freeCode(context, beer, day))
  const namesake = await tx.batch.findFirst({ where: { distributorId, code, id: { not: id } } })
  if (namesake) note(issue(path('code'), 'CODE_TAKEN', `another batch has the code "${code}"`))
  const hours = beer.fermentHours + beer.restHours + beer.dryHopHours + beer.crashHours
  const end = instantOf(day, place.site.brewEnds, place.site.timeZone).getTime() + hours * 3_600_000
  const start = { vesselId, readyAt: new Date(end).toISOString(), primable: true, quarantined: false }
  const trubMl = Math.round(ml * beer.lossFraction)
  const { originalGravity, abv, ingredients } = given
  return {
    happened: {
      kind: 'BREWED',
      data: { batchId: id, beerId, vesselId, ml, trubMl, start, originalGravity, abv, ingredients },
    },
    siteId: place.siteId,
    subjects: [
      { kind: 'BATCH', id },
      { kind: 'VESSEL', id: vesselId },
    ],
    ...(planned && !was ? { decision: { kind: 'BREW' as const, id: planned.id } } : {}),
    carriedOut: [{ kind: 'BREW', decisionId: planned?.id, batchId: id }],
    warnings:
      planned && !was && planned.vesselId !== vesselId
        ? [{ code: 'OTHER_THAN_PLANNED', message: 'The brew went into another vessel than planned.' }]
        : [],
    create: async () => {
      const data = { ...{ distributorId, id, code, beerId, siteId: place.siteId, vesselId }, vesselKind: place.kind }
      const begins = { ...data, litres: (ml - trubMl) / 1000, readyAt: new Date(end), brewedOn: dateOf(day) }
      await tx.batch.upsert({ where: where(id), create: begins, update: begins })
    },
  }
}

/** The planned brew's id, unless a batch of an earlier brew has it. */
async function freeBatchId({ tx, distributorId }: FactContext, wanted?: string): Promise<string> {
  const base = wanted ?? 'batch'
  for (let n = wanted === undefined ? 1 : 0; ; n++) {
    const id = n === 0 ? base : `${base}-${n}`
    if (!(await tx.batch.findUnique({ where: { distributorId_id: { distributorId, id } } }))) return id
  }
}

/** A code that no batch has: the beer's reference or the first letters of its name, and the day. */
async function freeCode(
  { tx, distributorId }: FactContext,
  beer: { name: string; externalRef: string | null },
  day: string,
): Promise<string> {
  const letters = (beer.externalRef ?? beer.name)
    .replace(/[^A-Za-z0-9]/g, '')
    .slice(0, 6)
    .toUpperCase()
  const base = `${letters || 'BEER'}-${day.slice(2).replaceAll('-', '')}`
  for (let n = 1; ; n++) {
    const code = n === 1 ? base : `${base}-${n}`
    if (!(await tx.batch.findFirst({ where: { distributorId, code }, select: { id: true } }))) return code
  }
}

/** A fact about a batch that says no more than that. */
function aboutBatch(batch: FoundBatch, happened: Meant['happened']): Meant {
  return {
    happened,
    siteId: batch.siteId,
    subjects: [{ kind: 'BATCH', id: batch.id }],
    carriedOut: [],
    warnings: [],
  }
}

const ofBatch = { ...said, batch: thingRef }

export const reading = factKind({
  shape: z.strictObject({
    ...ofBatch,
    gravity: gravity.optional(),
    celsius: z.number().min(-10).max(50).optional(),
    bar: z.number().min(-1).max(10).optional(),
  }),
  mean: async (context, { batch: ref, gravity: sg, celsius, bar }) => {
    if (sg === undefined && celsius === undefined && bar === undefined)
      context.note(issue(context.path('gravity'), 'MISSING_VALUE', 'say a gravity, a temperature or a pressure'))
    const batch = await findBatch(context, ref)
    if (!batch) return undefined
    context.dayAt(batch.vessel.site)
    const data = { batchId: batch.id, gravity: sg, celsius, bar }
    return aboutBatch(batch, { kind: 'READING', data })
  },
})

/** Kinds that say one thing of a batch. */
function simple(kind: 'DRY_HOPPED' | 'CRASH_BEGUN' | 'READY' | 'RELEASED') {
  return factKind({
    shape: z.strictObject(ofBatch),
    mean: async (context, { batch: ref }) => {
      const batch = await findBatch(context, ref)
      if (!batch) return undefined
      context.dayAt(batch.vessel.site)
      return aboutBatch(batch, { kind, data: { batchId: batch.id } })
    },
  })
}

export const dryHopped = simple('DRY_HOPPED')
export const crashBegun = simple('CRASH_BEGUN')
export const ready = simple('READY')
export const batchReleased = simple('RELEASED')

export const batchQuarantined = factKind({
  shape: z.strictObject({ ...ofBatch, why: z.string().min(1).max(500).optional() }),
  mean: async (context, { batch: ref, why }) => {
    const batch = await findBatch(context, ref)
    if (!batch) return undefined
    context.dayAt(batch.vessel.site)
    return aboutBatch(batch, { kind: 'QUARANTINED', data: { batchId: batch.id, why } })
  },
})

export const dumped = factKind({
  shape: z.strictObject({ ...ofBatch, litres: someLitres.optional() }),
  mean: async (context, { batch: ref, litres: poured }) => {
    const batch = await findBatch(context, ref)
    if (!batch) return undefined
    context.dayAt(batch.vessel.site)
    const all = poured === undefined
    const data = { batchId: batch.id, ml: all ? undefined : millilitres(poured), all, from: batch.vesselKind }
    const warnings: Meant['warnings'] =
      poured !== undefined && poured > batch.litres
        ? [{ code: 'MORE_THAN_KNOWN', message: `${poured} L were dumped of ${batch.litres} L that were known.` }]
        : []
    return {
      ...aboutBatch(batch, { kind: 'DUMPED', data }),
      carriedOut: [{ kind: 'DUMP', batchId: batch.id, litres: poured ?? batch.litres, all }],
      warnings,
    }
  },
})

export const transferred = factKind({
  shape: z.strictObject({ ...ofBatch, transfer: decision, vessel: thingRef.optional(), litres: litres.optional() }),
  mean: async (context, { batch: ref, transfer, vessel: vesselRef, litres: measured }) => {
    const { plan, note, path, tx, distributorId } = context
    const batch = await findBatch(context, ref)
    const planned = plan?.transfers.find((each) =>
      transfer === undefined ? each.batchId === batch?.id : each.id === transfer,
    )
    if (transfer !== undefined && !planned) noteUnplanned(context, 'transfer', transfer)
    if (!vesselRef && !planned) note(issue(path('vessel'), 'MISSING_VALUE', 'say it, or name the planned transfer'))
    const named = vesselRef ? await findVessel(context, vesselRef) : undefined
    const vesselId = named?.id ?? planned?.toVesselId
    if (!batch || vesselId === undefined) return undefined
    const to = await tx.vessel.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id: vesselId } } })
    await noteVesselFaults(context, batch, to)
    context.dayAt(batch.vessel.site)
    const isBright = to.kind === 'BRIGHT'
    const data = {
      ...{ batchId: batch.id, fromVesselId: batch.vesselId, toVesselId: to.id },
      ml: measured === undefined ? undefined : millilitres(measured),
    }
    return {
      ...aboutBatch(batch, isBright ? { kind: 'TRANSFERRED', data } : { kind: 'MOVED', data }),
      subjects: [
        { kind: 'BATCH', id: batch.id },
        { kind: 'VESSEL', id: batch.vesselId },
        { kind: 'VESSEL', id: to.id },
      ],
      ...(planned && isBright ? { decision: { kind: 'TRANSFER' as const, id: planned.id } } : {}),
      carriedOut: isBright ? [{ kind: 'TRANSFER', decisionId: planned?.id, batchId: batch.id }] : [],
    }
  },
})

/** Notes why beer of a batch can not have gone into a vessel. */
export async function noteVesselFaults(
  { tx, distributorId, note, path }: FactContext,
  batch: Pick<FoundBatch, 'siteId' | 'vesselId'>,
  to: { id: string; siteId: string; name: string },
): Promise<void> {
  if (to.id === batch.vesselId) note(issue(path('vessel'), 'SAME_VESSEL', `the batch is in ${to.name} already`))
  if (to.siteId !== batch.siteId) note(issue(path('vessel'), 'OTHER_SITE', `${to.name} is at another site`))
  const holder = await tx.batch.findFirst({ where: { distributorId, vesselId: to.id, emptiedOn: null } })
  if (holder && to.id !== batch.vesselId)
    note(issue(path('vessel'), 'VESSEL_HOLDS_TWO_BATCHES', `${to.name} holds the batch "${holder.code}" still`))
}
