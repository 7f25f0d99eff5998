// Routes: delivery rounds from a site, with the days on which they do not leave.
import { z } from 'zod'
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import { cutOffOf } from '../../records/setup-to-problem.ts'
import { encodeGlobalId } from '../global-id.ts'
import { thingRef } from '../thing-ref.ts'
import { planned } from './limits.ts'
import { type Noun, useCasesOf } from './noun.ts'
import { externalRef, listOfDays, listOfWeekdays, name } from './shapes.ts'

const shape = z.strictObject({
  externalRef,
  name,
  site: thingRef,
  weekdays: listOfWeekdays,
  transitDays: planned.route.transitDays,
  capacityLitres: planned.route.capacityLitres,
  cutOff: planned.route.cutOff,
  closedOn: listOfDays.default([]),
})

const noun: Noun<typeof shape> = {
  kind: 'Route',
  key: 'route',
  shape,
  fixed: ['site'],
  describe: async (tx, key) => {
    const { siteId, externalRef, capacityLitres, cutOffDaysBefore, cutOffAt, closures, ...row } =
      await tx.route.findUniqueOrThrow({
        where: { distributorId_id: key },
        omit: { distributorId: true, id: true, retiredAt: true },
        include: { closures: { orderBy: { on: 'asc' } } },
      })
    return {
      ...row,
      site: { id: encodeGlobalId('Site', siteId) },
      externalRef: externalRef ?? undefined,
      capacityLitres: capacityLitres ?? undefined,
      cutOff: cutOffOf({ cutOffDaysBefore, cutOffAt }),
      closedOn: closures.map(({ on }) => dayOf(on)),
    }
  },
  save: async ({ tx, refs, isNew }, key, { site, cutOff, closedOn, ...given }) => {
    const siteId = await refs.id('Site', site, 'site', { retired: !isNew })
    refs.settle()
    const data = {
      ...given,
      siteId,
      externalRef: given.externalRef ?? null,
      capacityLitres: given.capacityLitres ?? null,
      cutOffDaysBefore: cutOff?.daysBefore ?? null,
      cutOffAt: cutOff?.at ?? null,
    }
    await tx.route.upsert({ where: { distributorId_id: key }, create: { ...key, ...data }, update: data })
    const ofRoute = { distributorId: key.distributorId, routeId: key.id }
    await tx.routeClosure.deleteMany({ where: ofRoute })
    await tx.routeClosure.createMany({ data: closedOn.map((day) => ({ ...ofRoute, on: dateOf(day) })) })
  },
  retire: async (tx, key, retiredAt) => {
    await tx.route.update({ where: { distributorId_id: key }, data: { retiredAt } })
  },
}

export const { create: createRoute, change: changeRoute, retire: retireRoute } = useCasesOf(noun)
