// Beers: their stages in the fermenter, how long they may stand, and the vessels that they may be brewed in.
import { z } from 'zod'
import { issue } from '../../errors.ts'
import { encodeGlobalId } from '../global-id.ts'
import { thingRef } from '../thing-ref.ts'
import { onSheets, planned } from './limits.ts'
import { type Noun, useCasesOf } from './noun.ts'
import { externalRef, name } from './shapes.ts'

/** Most vessels that a beer can name. */
export const MOST_VESSELS = 1000

const shape = z.strictObject({
  externalRef,
  name,
  style: planned.beer.style.trim().min(1).max(200),
  fermentHours: planned.beer.fermentHours,
  restHours: planned.beer.restHours,
  dryHopHours: planned.beer.dryHopHours,
  crashHours: planned.beer.crashHours,
  maxTankDays: planned.beer.maxTankDays,
  brightDays: planned.beer.brightDays,
  maxBrightDays: planned.beer.maxBrightDays,
  maxOpenDays: planned.beer.maxOpenDays,
  lossFraction: planned.beer.lossFraction,
  vessels: z.array(thingRef).max(MOST_VESSELS).optional(),
  setupWeight: planned.beer.setupWeight,
  washGroup: planned.beer.washGroup,
  /** Specific gravities of beer (common practice). */
  finalGravity: z.number().min(0.98).max(1.2).optional(),
  gravityTolerance: z.number().min(0).max(0.05).default(0.002),
  ...onSheets.beer,
})

const noun: Noun<typeof shape> = {
  kind: 'Beer',
  key: 'beer',
  shape,
  fixed: [],
  describe: async (tx, key) => {
    const { vessels, anyVessel, externalRef, maxOpenDays, washGroup, finalGravity, originalGravity, abv, ...row } =
      await tx.beer.findUniqueOrThrow({
        where: { distributorId_id: key },
        omit: { distributorId: true, id: true, retiredAt: true, updatedAt: true },
        include: { vessels: { orderBy: { vesselId: 'asc' } } },
      })
    return {
      ...row,
      washGroup: washGroup ?? undefined,
      finalGravity: finalGravity ?? undefined,
      originalGravity: originalGravity ?? undefined,
      abv: abv ?? undefined,
      externalRef: externalRef ?? undefined,
      maxOpenDays: maxOpenDays ?? undefined,
      vessels: anyVessel ? undefined : vessels.map(({ vesselId }) => ({ id: encodeGlobalId('Vessel', vesselId) })),
    }
  },
  save: async ({ tx, refs, names }, key, { vessels, ...given }) => {
    const vesselIds = new Set<string>()
    for (const [index, ref] of (vessels ?? []).entries())
      vesselIds.add(await refs.id('Vessel', ref, `vessels[${index}]`, { retired: !names('vessels') }))
    const { originalGravity = Number.POSITIVE_INFINITY, finalGravity = 0 } = given
    if (originalGravity < finalGravity)
      refs.noteBeside(
        ['finalGravity'],
        issue(
          'originalGravity',
          'OUT_OF_RANGE',
          `is ${originalGravity}; beer does not end above it, at ${finalGravity}`,
        ),
      )
    refs.settle()
    const data = {
      ...given,
      externalRef: given.externalRef ?? null,
      maxOpenDays: given.maxOpenDays ?? null,
      washGroup: given.washGroup ?? null,
      finalGravity: given.finalGravity ?? null,
      originalGravity: given.originalGravity ?? null,
      abv: given.abv ?? null,
      anyVessel: vessels === undefined,
    }
    await tx.beer.upsert({ where: { distributorId_id: key }, create: { ...key, ...data }, update: data })
    const ofBeer = { distributorId: key.distributorId, beerId: key.id }
    await tx.beerVessel.deleteMany({ where: ofBeer })
    await tx.beerVessel.createMany({ data: [...vesselIds].map((vesselId) => ({ ...ofBeer, vesselId })) })
  },
  retire: async (tx, key, retiredAt) => {
    await tx.beer.update({ where: { distributorId_id: key }, data: { retiredAt } })
  },
}

export const { create: createBeer, enter: enterBeer, change: changeBeer, retire: retireBeer } = useCasesOf(noun)
