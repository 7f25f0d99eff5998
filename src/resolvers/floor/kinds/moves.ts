// Facts about beer that comes into another vessel.
import { z } from 'zod'
import { issue } from '../../../errors.ts'
import type { Fact } from '../../../floor/facts/fact.ts'
import { thingRef } from '../../thing-ref.ts'
import { decisionName, type FactContext, factKind } from '../fact-kind.ts'
import { aboutBatch, ofBatch } from './beer.ts'
import { assumedByName, type FoundBatch, findBatch, findVessel, litres, millilitres, noteUnplanned } from './find.ts'

export const transferred = factKind({
  shape: z.strictObject({
    ...ofBatch,
    transfer: decisionName.optional(),
    vessel: thingRef.optional(),
    litres: litres.optional(),
  }),
  mean: async (context, { batch: ref, transfer, vessel: vesselRef, litres: measured }) => {
    const { plan, note, path, tx, distributorId } = context
    const found = await findBatch(context, ref)
    const namesake = plan?.transfers.find((each) =>
      transfer === undefined ? each.batchId === found?.id : each.id === transfer,
    )
    const before = found && (await transferAssumed(context, found, transfer, namesake !== undefined))
    const planned = before ? undefined : namesake
    const was = before?.kind === 'TRANSFERRED' ? before.data : undefined
    if (transfer !== undefined && !planned && !before) noteUnplanned(context, 'transfer', transfer)
    if (!vesselRef && !planned && !was)
      note(issue(path('vessel'), 'MISSING_VALUE', 'say it, or name the planned transfer'))
    const named = vesselRef ? await findVessel(context, vesselRef) : undefined
    const vesselId = named?.id ?? planned?.toVesselId ?? was?.toVesselId
    const batch = before ? await findBatch(context, ref) : found
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

/** The assumed transfer that is said otherwise: of the same decision, or of the batch on the same day. */
function transferAssumed(
  context: FactContext,
  batch: FoundBatch,
  transfer: string | undefined,
  isPlanned: boolean,
): Promise<Fact | undefined> {
  if (transfer !== undefined)
    return assumedByName(context, 'TRANSFERRED', { kind: 'TRANSFER', id: transfer }, isPlanned)
  const subjects = [{ kind: 'BATCH' as const, id: batch.id }]
  return context.takeAssumed({ kinds: ['TRANSFERRED'], subjects, on: context.dayAt(batch.vessel.site) })
}

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
