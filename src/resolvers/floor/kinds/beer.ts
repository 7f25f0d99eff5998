// Facts about beer in vessels that stays where it is: read, hopped, crashed, ready, dumped, kept back.
import { z } from 'zod'
import { issue } from '../../../errors.ts'
import { thingRef } from '../../thing-ref.ts'
import { factKind, type Meant, said } from '../fact-kind.ts'
import { type FoundBatch, findBatch, gravity, millilitres, someLitres } from './find.ts'

/** A fact about a batch that says no more than that. */
export function aboutBatch(batch: FoundBatch, happened: Meant['happened']): Meant {
  return {
    happened,
    siteId: batch.siteId,
    subjects: [{ kind: 'BATCH', id: batch.id }],
    carriedOut: [],
    warnings: [],
  }
}

export const ofBatch = { ...said, batch: thingRef }

export const reading = factKind({
  shape: z.strictObject({
    ...ofBatch,
    gravity: gravity.optional(),
    celsius: z.number().min(-10).max(50).optional(),
    bar: z.number().min(-1).max(10).optional(),
    /** Volumes of CO₂ (from memory: no beer holds ten). */
    co2Volumes: z.number().min(0).max(10).optional(),
  }),
  mean: async (context, { batch: ref, gravity: sg, celsius, bar, co2Volumes }) => {
    if ([sg, celsius, bar, co2Volumes].every((each) => each === undefined))
      context.note(
        issue(context.path('gravity'), 'MISSING_VALUE', 'say a gravity, a temperature, a pressure or the CO₂'),
      )
    const batch = await findBatch(context, ref)
    if (!batch) return undefined
    context.dayAt(batch.vessel.site)
    const data = { batchId: batch.id, gravity: sg, celsius, bar, co2Volumes }
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
