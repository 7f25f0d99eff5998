// Facts about things: a vessel out or back, batches and lots counted, filling or a route ended for the day.
import { z } from 'zod'
import { issue } from '../../../errors.ts'
import { containerMillilitres } from '../../../floor/container-volumes.ts'
import { localDate } from '../../../planner/documents/index.ts'
import { thingRef } from '../../thing-ref.ts'
import { factKind, said } from '../fact-kind.ts'
import { findBatch, findLot, findSite, findVessel, millilitres } from './find.ts'

export const vesselOut = factKind({
  shape: z.strictObject({
    ...said,
    vessel: thingRef,
    until: localDate.optional(),
    why: z.string().min(1).max(500).optional(),
  }),
  mean: async (context, { vessel: ref, until, why }) => {
    const vessel = await findVessel(context, ref)
    if (!vessel) return undefined
    const day = context.dayAt(vessel.site)
    if (until !== undefined && until < day)
      context.note(issue(context.path('until'), 'SPAN_REVERSED', `${until} is before ${day}`))
    return {
      happened: { kind: 'VESSEL_OUT', data: { vesselId: vessel.id, until, why } },
      siteId: vessel.siteId,
      subjects: [{ kind: 'VESSEL', id: vessel.id }],
      carriedOut: [],
      warnings: [],
    }
  },
})

export const vesselBack = factKind({
  shape: z.strictObject({ ...said, vessel: thingRef }),
  mean: async (context, { vessel: ref }) => {
    const vessel = await findVessel(context, ref)
    if (!vessel) return undefined
    context.dayAt(vessel.site)
    return {
      happened: { kind: 'VESSEL_BACK', data: { vesselId: vessel.id } },
      siteId: vessel.siteId,
      subjects: [{ kind: 'VESSEL', id: vessel.id }],
      carriedOut: [],
      warnings: [],
    }
  },
})

export const batchCounted = factKind({
  shape: z.strictObject({ ...said, batch: thingRef, litres: z.number().min(0).max(1_000_000) }),
  mean: async (context, { batch: ref, litres }) => {
    const batch = await findBatch(context, ref)
    if (!batch) return undefined
    context.dayAt(batch.vessel.site)
    return {
      happened: { kind: 'BATCH_COUNTED', data: { batchId: batch.id, ml: millilitres(litres) } },
      siteId: batch.siteId,
      subjects: [{ kind: 'BATCH', id: batch.id }],
      carriedOut: [],
      warnings: [],
    }
  },
})

export const lotCounted = factKind({
  shape: z.strictObject({ ...said, lot: thingRef, quantity: z.int().min(0).max(100_000) }),
  mean: async (context, { lot: ref, quantity }) => {
    const lot = await findLot(context, ref)
    if (!lot) return undefined
    context.dayAt(lot.site)
    const { nominalMl } = containerMillilitres(lot.pack.containerType)
    const fleet = { siteId: lot.siteId, typeId: lot.pack.containerTypeId }
    return {
      happened: { kind: 'LOT_COUNTED', data: { lotId: lot.id, ...fleet, quantity, nominalMl } },
      siteId: lot.siteId,
      subjects: [{ kind: 'LOT', id: lot.id }],
      carriedOut: [],
      warnings: [],
    }
  },
})

export const fillingEnded = factKind({
  shape: z.strictObject({ ...said, site: thingRef }),
  mean: async (context, { site: ref }) => {
    const site = await findSite(context, ref)
    if (!site) return undefined
    context.dayAt(site)
    const happened = { kind: 'FILLING_ENDED' as const, data: { siteId: site.id } }
    return { happened, siteId: site.id, subjects: [], carriedOut: [], warnings: [] }
  },
})

export const routeEnded = factKind({
  shape: z.strictObject({ ...said, route: thingRef }),
  mean: async (context, { route: ref }) => {
    const { refs, path, tx, distributorId } = context
    const id = await refs.id('Route', ref, path('route'), { retired: true })
    if (id === '') return undefined
    const route = await tx.route.findUniqueOrThrow({
      where: { distributorId_id: { distributorId, id } },
      include: { site: true },
    })
    context.dayAt(route.site)
    const happened = { kind: 'ROUTE_ENDED' as const, data: { routeId: id } }
    return { happened, siteId: route.siteId, subjects: [{ kind: 'ROUTE', id }], carriedOut: [], warnings: [] }
  },
})
