// Fleets: the containers of one type that belong to one site, and those that are expected back.
import { z } from 'zod'
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import { issue } from '../../errors.ts'
import { localDate } from '../../planner/documents/index.ts'
import { encodeGlobalId } from '../global-id.ts'
import { thingRef } from '../thing-ref.ts'
import { planned } from './limits.ts'
import { type Noun, useCasesOf } from './noun.ts'
import { externalRef } from './shapes.ts'

/** Most expected returns of one fleet. */
export const MOST_RETURNS = 1000

const shape = z.strictObject({
  externalRef,
  site: thingRef,
  containerType: thingRef,
  cleanNow: planned.fleet.cleanNow,
  washDays: planned.fleet.washDays,
  returns: z
    .array(z.strictObject({ on: localDate, quantity: planned.fleet.cleanNow.min(1) }))
    .max(MOST_RETURNS)
    .default([]),
})

const noun: Noun<typeof shape> = {
  kind: 'Fleet',
  key: 'fleet',
  shape,
  fixed: ['site', 'containerType'],
  saidByFacts: { cleanNow: 'record `fleetCounted`' },
  describe: async (tx, key) => {
    const { siteId, containerTypeId, externalRef, returns, ...row } = await tx.fleet.findUniqueOrThrow({
      where: { distributorId_id: key },
      omit: { distributorId: true, id: true, retiredAt: true, updatedAt: true },
      include: { returns: { orderBy: { on: 'asc' } } },
    })
    return {
      ...row,
      site: { id: encodeGlobalId('Site', siteId) },
      containerType: { id: encodeGlobalId('ContainerType', containerTypeId) },
      externalRef: externalRef ?? undefined,
      returns: returns.map(({ on, quantity }) => ({ on: dayOf(on), quantity })),
    }
  },
  save: async ({ tx, refs, isNew }, key, { site, containerType, returns, ...given }) => {
    const { distributorId } = key
    const siteId = await refs.id('Site', site, 'site', { retired: !isNew })
    const containerTypeId = await refs.id('ContainerType', containerType, 'containerType', { retired: !isNew })
    returns.forEach(({ on }, index) => {
      if (returns.findIndex((day) => day.on === on) < index)
        refs.note(issue(`returns[${index}].on`, 'DUPLICATE_ENTRY', `returns of ${on} are listed already`))
    })
    const other = await tx.fleet.findFirst({ where: { distributorId, siteId, containerTypeId, id: { not: key.id } } })
    if (other)
      refs.noteBeside(
        ['site', 'containerType'],
        issue('', 'DUPLICATE_FLEET', 'the site has a fleet of this container type already'),
      )
    refs.settle()
    const data = {
      ...given,
      siteId,
      containerTypeId,
      externalRef: given.externalRef ?? null,
    }
    await tx.fleet.upsert({ where: { distributorId_id: key }, create: { ...key, ...data }, update: data })
    const ofFleet = { distributorId, fleetId: key.id }
    await tx.fleetReturn.deleteMany({ where: ofFleet })
    await tx.fleetReturn.createMany({
      data: returns.map(({ on, quantity }) => ({ ...ofFleet, on: dateOf(on), quantity })),
    })
  },
  retire: async (tx, key, retiredAt) => {
    await tx.fleet.update({ where: { distributorId_id: key }, data: { retiredAt } })
  },
}

export const { create: createFleet, enter: enterFleet, change: changeFleet, retire: retireFleet } = useCasesOf(noun)
