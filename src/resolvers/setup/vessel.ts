// Vessels: fermenters and bright vessels, with the spans in which they are out of service.
import { z } from 'zod'
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import { issue } from '../../errors.ts'
import { localDate } from '../../planner/documents/index.ts'
import { encodeGlobalId } from '../global-id.ts'
import { thingRef } from '../thing-ref.ts'
import { planned } from './limits.ts'
import { type Noun, useCasesOf } from './noun.ts'
import { externalRef, name } from './shapes.ts'

/** Most spans out of service of one vessel. */
export const MOST_OUTAGES = 200

const shape = z.strictObject({
  externalRef,
  name,
  site: thingRef,
  kind: planned.vessel.kind,
  capacityLitres: planned.vessel.capacityLitres,
  minFillLitres: planned.vessel.minFillLitres,
  turnaroundDays: planned.vessel.turnaroundDays,
  availableFrom: localDate.optional(),
  outOfService: z
    .array(z.strictObject({ from: localDate, to: localDate }))
    .max(MOST_OUTAGES)
    .default([]),
})

const noun: Noun<typeof shape> = {
  kind: 'Vessel',
  key: 'vessel',
  shape,
  fixed: ['site', 'kind'],
  describe: async (tx, key) => {
    const { outages, siteId, externalRef, availableFrom, ...row } = await tx.vessel.findUniqueOrThrow({
      where: { distributorId_id: key },
      omit: { distributorId: true, id: true, retiredAt: true, updatedAt: true, emptiedOn: true, cleanedOn: true },
      // What facts say is not the set-up's to change.
      include: { outages: { where: { factId: '' }, orderBy: { from: 'asc' } } },
    })
    return {
      ...row,
      site: { id: encodeGlobalId('Site', siteId) },
      externalRef: externalRef ?? undefined,
      availableFrom: availableFrom ? dayOf(availableFrom) : undefined,
      outOfService: outages.map(({ from, to }) => ({ from: dayOf(from), to: dayOf(to) })),
    }
  },
  save: async ({ tx, refs, isNew }, key, { site, outOfService, availableFrom, externalRef = null, ...given }) => {
    const siteId = await refs.id('Site', site, 'site', { retired: !isNew })
    if (given.minFillLitres > given.capacityLitres)
      refs.noteBeside(
        ['capacityLitres'],
        issue(
          'minFillLitres',
          'MINIMUM_ABOVE_CAPACITY',
          `the smallest fill, ${given.minFillLitres} L, is more than the capacity, ${given.capacityLitres} L (V2)`,
        ),
      )
    outOfService.forEach(({ from, to }, index) => {
      const path = `outOfService[${index}]`
      if (from > to)
        refs.noteBeside(
          [`${path}.from`, `${path}.to`],
          issue(path, 'SPAN_REVERSED', `the span starts on ${from} and ends on ${to}`),
        )
      if (outOfService.findIndex((span) => span.from === from) < index)
        refs.noteBeside([`${path}.from`], issue(path, 'DUPLICATE_ENTRY', `another span starts on ${from}`))
    })
    refs.settle()
    const data = { ...given, siteId, externalRef, availableFrom: availableFrom ? dateOf(availableFrom) : null }
    await tx.vessel.upsert({ where: { distributorId_id: key }, create: { ...key, ...data }, update: data })
    const ofVessel = { distributorId: key.distributorId, vesselId: key.id }
    await tx.vesselOutage.deleteMany({ where: { ...ofVessel, factId: '' } })
    await tx.vesselOutage.createMany({
      data: outOfService.map(({ from, to }) => ({ ...ofVessel, from: dateOf(from), to: dateOf(to) })),
    })
  },
  retire: async (tx, key, retiredAt) => {
    await tx.vessel.update({ where: { distributorId_id: key }, data: { retiredAt } })
  },
}

export const { create: createVessel, change: changeVessel, retire: retireVessel } = useCasesOf(noun)
