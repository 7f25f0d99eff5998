// The fact that a brew was made: it is a batch from then on.
import { z } from 'zod'
import { dateOf } from '../../../database/calendar-day.ts'
import { issue } from '../../../errors.ts'
import type { Fact } from '../../../floor/facts/fact.ts'
import { instantOf } from '../../../planner/documents/index.ts'
import { thingRef } from '../../thing-ref.ts'
import { decisionName, type FactContext, factKind, type Meant, said } from '../fact-kind.ts'
import { freeBatchId } from '../lot-codes.ts'
import {
  assumedByName,
  type FoundVessel,
  findVessel,
  freeBatchCode,
  gravity,
  millilitres,
  noteUnplanned,
  someLitres,
} from './find.ts'

export const brewed = factKind({
  shape: z.strictObject({
    ...said,
    /** The planned brew that it carries out. */
    brew: decisionName.optional(),
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
  const vessel = given.vessel ? await findVessel(context, given.vessel) : undefined
  const namesake = context.plan?.brews.find(({ id }) => id === given.brew)
  const before = context.corrects ?? (await brewAssumed(context, given.brew, vessel, namesake !== undefined))
  const inPlan = before ? undefined : namesake
  const was = before?.kind === 'BREWED' ? before.data : undefined
  const planned = was ? { id: was.batchId, beerId: was.beerId, vesselId: was.vesselId, litres: was.ml / 1000 } : inPlan
  if (given.brew !== undefined && !planned && !before) noteUnplanned(context, 'brew', given.brew)
  const missing = (['beer', 'vessel', 'litres'] as const).filter((key) => given[key] === undefined && !planned)
  if (given.brew === undefined || (before && !planned))
    note(...missing.map((key) => issue(path(key), 'MISSING_VALUE', 'say it, or name the planned brew')))
  const beerId = given.beer ? await refs.id('Beer', given.beer, path('beer'), { retired: true }) : planned?.beerId
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
  const id = was?.batchId ?? (await freeBatchId(tx, distributorId, planned?.id))
  const known = was && (await tx.batch.findUnique({ where: where(id) }))
  const base = startOfCode(beer, day)
  const code = given.code ?? known?.code ?? (await freeBatchCode(context, (n) => (n === 1 ? base : `${base}-${n}`)))
  const other = await tx.batch.findFirst({ where: { distributorId, code, id: { not: id } } })
  if (other) note(issue(path('code'), 'CODE_TAKEN', `another batch has the code "${code}"`))
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

/** The assumed brew that is said otherwise: of the same decision, or into the same vessel on the same day. */
async function brewAssumed(
  context: FactContext,
  brew: string | undefined,
  vessel: FoundVessel | undefined,
  isPlanned: boolean,
): Promise<Fact | undefined> {
  if (brew !== undefined) return assumedByName(context, 'BREWED', { kind: 'BREW', id: brew }, isPlanned)
  if (!vessel) return undefined
  const subjects = [{ kind: 'VESSEL' as const, id: vessel.id }]
  return context.takeAssumed({ kinds: ['BREWED'], subjects, on: context.dayAt(vessel.site) })
}

/** What the code of a new batch begins with: the beer's reference or the first letters of its name, and the day. */
function startOfCode(beer: { name: string; externalRef: string | null }, day: string): string {
  const letters = (beer.externalRef ?? beer.name)
    .replace(/[^A-Za-z0-9]/g, '')
    .slice(0, 6)
    .toUpperCase()
  return `${letters || 'BEER'}-${day.slice(2).replaceAll('-', '')}`
}
