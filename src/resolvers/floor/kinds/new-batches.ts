// Facts by which beer in vessels becomes a batch of its own: a part that was moved, and batches that were blended.
import { z } from 'zod'
import { dateOf } from '../../../database/calendar-day.ts'
import { issue } from '../../../errors.ts'
import type { CarriedOut } from '../../../floor/carried-out.ts'
import type { FactData } from '../../../floor/facts/fact.ts'
import type { LocalDate } from '../../../planner/documents/index.ts'
import { thingRef } from '../../thing-ref.ts'
import { type FactContext, factKind, type Meant, said, type Warning } from '../fact-kind.ts'
import { freeBatchId } from '../lot-codes.ts'
import {
  type FoundBatch,
  type FoundVessel,
  findBatch,
  findVessel,
  freeBatchCode,
  millilitres,
  someLitres,
} from './find.ts'

const code = z.string().min(1).max(200).optional()

/** Most batches that are blended into one. */
const MOST_PARENTS = 20

export const partTransferred = factKind({
  shape: z.strictObject({
    ...{ ...said, batch: thingRef, vessel: thingRef, litres: someLitres, code },
    emptied: z.boolean().default(false),
  }),
  mean: async (context, { batch: ref, vessel, litres, emptied, code: wanted }) => {
    const was = context.corrects?.kind === 'PART_TRANSFERRED' ? context.corrects.data : undefined
    const batch = await findBatch(context, ref)
    const to = await findVessel(context, vessel)
    if (!batch || !to) return undefined
    const day = context.dayAt(batch.vessel.site)
    const part: Part = { batch, ml: millilitres(litres), emptied, field: 'litres' }
    await noteFaults(context, [part], to, was?.newBatchId)
    const begun = await beginBatch(context, [part], {
      to,
      day,
      beerId: batch.beerId,
      code: wanted,
      id: was?.newBatchId,
    })
    const { ml } = part
    return {
      ...meantOf([part], to, begun),
      happened: {
        kind: 'PART_TRANSFERRED',
        data: { batchId: batch.id, newBatchId: begun.id, toVesselId: to.id, ml, emptied, start: begun.start },
      },
    }
  },
})

export const blended = factKind({
  shape: z.strictObject({
    ...{ ...said, vessel: thingRef, beer: thingRef.optional(), code },
    batches: z
      .array(z.strictObject({ batch: thingRef, litres: someLitres.optional(), emptied: z.boolean().optional() }))
      .min(2)
      .max(MOST_PARENTS),
  }),
  mean: async (context, { vessel, beer, batches, code: wanted }) => {
    const { refs, path, note } = context
    const was = context.corrects?.kind === 'BLENDED' ? context.corrects.data : undefined
    const parts: Part[] = []
    for (const [index, { batch: ref, litres, emptied = litres === undefined }] of batches.entries()) {
      const batch = await findBatch(context, ref, `batches[${index}].batch`)
      if (!batch) continue
      if (parts.some((part) => part.batch.id === batch.id))
        note(issue(path(`batches[${index}].batch`), 'DUPLICATE_ENTRY', 'it is named already'))
      parts.push({ batch, ml: millilitres(litres ?? batch.litres), emptied, field: `batches[${index}].litres` })
    }
    const to = await findVessel(context, vessel)
    const named = beer && (await refs.id('Beer', beer, path('beer'), { retired: true }))
    const [first] = parts
    if (!to || !first || parts.length < batches.length || named === '') return undefined
    const beerIds = new Set(parts.map(({ batch }) => batch.beerId))
    if (!named && beerIds.size > 1)
      note(issue(path('beer'), 'MISSING_VALUE', 'say which beer it is: the batches are of several'))
    const day = context.dayAt(first.batch.vessel.site)
    await noteFaults(context, parts, to, was?.newBatchId)
    const beerId = named ?? first.batch.beerId
    const begun = await beginBatch(context, parts, { to, day, beerId, code: wanted, id: was?.newBatchId })
    const parents = parts.map(({ batch, ml, emptied }) => ({ batchId: batch.id, ml, emptied }))
    return {
      ...meantOf(parts, to, begun),
      happened: { kind: 'BLENDED', data: { newBatchId: begun.id, toVesselId: to.id, start: begun.start, parents } },
    }
  },
})

/** What a batch gives to a new one. */
interface Part {
  batch: FoundBatch
  ml: number
  /** Whether it leaves its vessel empty: what remains is lost. */
  emptied: boolean
  /** The field of the input that says how much. */
  field: string
}

/** Notes why the parts can not have become a batch in the vessel. */
async function noteFaults(
  { tx, distributorId, note, path }: FactContext,
  parts: readonly Part[],
  to: FoundVessel,
  newBatchId: string | undefined,
): Promise<void> {
  for (const { batch, ml, field } of parts) {
    if (batch.siteId !== to.siteId) note(issue(path('vessel'), 'OTHER_SITE', `${to.name} is at another site`))
    if (ml === 0) note(issue(path(field), 'MISSING_VALUE', `say it: nothing is known to be left of "${batch.code}"`))
  }
  const ml = parts.reduce((sum, part) => sum + part.ml, 0)
  const field = parts.length === 1 ? 'litres' : 'batches'
  if (ml > millilitres(to.capacityLitres))
    note(issue(path(field), 'MORE_THAN_VESSEL_HOLDS', `${to.name} holds ${to.capacityLitres} L`))
  const holder = await tx.batch.findFirst({ where: { distributorId, vesselId: to.id, emptiedOn: null } })
  // A blend may be made in the vessel of one of its batches, which then is no more.
  const isPart = parts.length > 1 && parts.some(({ batch, emptied }) => batch.id === holder?.id && emptied)
  if (holder && !isPart && holder.id !== newBatchId)
    note(issue(path('vessel'), 'VESSEL_HOLDS_TWO_BATCHES', `${to.name} holds the batch "${holder.code}" still`))
}

interface Begun {
  id: string
  start: FactData<'BLENDED'>['start']
  create: () => Promise<void>
}

interface ToBegin {
  to: FoundVessel
  day: LocalDate
  beerId: string
  code: string | undefined
  /** The batch that the corrected fact began. */
  id: string | undefined
}

/** The new batch: ready when all of it is, kept back where a part of it is. */
async function beginBatch(context: FactContext, parts: readonly Part[], toBegin: ToBegin): Promise<Begun> {
  const { tx, distributorId, note, path } = context
  const { to, day, beerId } = toBegin
  const batches = parts.map(({ batch }) => batch)
  const id = toBegin.id ?? (await freeBatchId(tx, distributorId, undefined))
  const where = { distributorId_id: { distributorId, id } }
  const known = await tx.batch.findUnique({ where })
  // Numbered after the first of those that it comes of, which is number one.
  const parent = batches[0]?.code ?? 'BLEND'
  const code = toBegin.code ?? known?.code ?? (await freeBatchCode(context, (n) => `${parent}/${n + 1}`))
  if (await tx.batch.findFirst({ where: { distributorId, code, id: { not: id } } }))
    note(issue(path('code'), 'CODE_TAKEN', `another batch has the code "${code}"`))
  const readyAt = new Date(Math.max(...batches.map((batch) => batch.readyAt.getTime())))
  const isBright = to.kind === 'BRIGHT'
  const start = {
    vesselId: to.id,
    readyAt: readyAt.toISOString(),
    ...(isBright ? { transferredOn: day } : {}),
    primable: batches.every(({ primable }) => primable),
    quarantined: batches.some(({ quarantined }) => quarantined),
  }
  const brewed = batches.flatMap(({ brewedOn }) => brewedOn ?? [])
  const row = {
    ...{ distributorId, id, code, beerId, siteId: to.siteId, vesselId: to.id, vesselKind: to.kind, readyAt },
    ...{ primable: start.primable, quarantined: start.quarantined, transferredOn: isBright ? dateOf(day) : null },
    brewedOn: brewed.length > 0 ? new Date(Math.max(...brewed.map((each) => each.getTime()))) : null,
    litres: parts.reduce((sum, { ml }) => sum + ml, 0) / 1000,
  }
  const create = async () => {
    // One batch a vessel: where the blend is made in the vessel of one of them, that one has ended.
    const ids = parts.filter((part) => part.emptied).map((part) => part.batch.id)
    const ended = { distributorId, id: { in: ids }, vesselId: to.id, emptiedOn: null }
    await tx.batch.updateMany({ where: ended, data: { emptiedOn: dateOf(day) } })
    await tx.batch.upsert({ where, create: row, update: row })
  }
  return { id, start, create }
}

/** What is meant besides what happened. */
function meantOf(parts: readonly Part[], to: FoundVessel, { id, create }: Begun): Omit<Meant, 'happened'> {
  const warnings = parts.flatMap(({ batch, ml }): Warning[] =>
    ml > millilitres(batch.litres)
      ? [
          {
            code: 'MORE_THAN_KNOWN',
            message: `${ml / 1000} L were taken of the ${batch.litres} L that were known of the batch ${batch.code}.`,
          },
        ]
      : [],
  )
  return {
    siteId: to.siteId,
    subjects: [
      ...parts.flatMap(({ batch }) => [
        { kind: 'BATCH' as const, id: batch.id },
        { kind: 'VESSEL' as const, id: batch.vesselId },
      ]),
      { kind: 'BATCH', id },
      { kind: 'VESSEL', id: to.id },
    ],
    // What is left of an emptied batch is lost: nothing of it is to be dumped.
    carriedOut: parts.flatMap(({ batch, emptied }): CarriedOut[] =>
      emptied ? [{ kind: 'DUMP', batchId: batch.id, litres: batch.litres, all: true }] : [],
    ),
    warnings,
    create,
  }
}
