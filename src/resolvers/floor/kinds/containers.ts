// Facts about lots of filled containers: kept back, released, destroyed, issued without an order.
import { z } from 'zod'
import { issue } from '../../../errors.ts'
import { containerMillilitres } from '../../../floor/container-volumes.ts'
import { thingRef } from '../../thing-ref.ts'
import { factKind, type Meant, said, type Warning } from '../fact-kind.ts'
import { type FoundLot, findLot, some } from './find.ts'

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
