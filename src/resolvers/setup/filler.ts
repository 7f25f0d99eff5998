// Fillers: how many minutes they work, how long a set-up takes, and what they fill.
import { z } from 'zod'
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import { issue } from '../../errors.ts'
import { localDate } from '../../planner/documents/index.ts'
import { encodeGlobalId } from '../global-id.ts'
import { type References, type ThingKind, type ThingRef, thingRef } from '../thing-ref.ts'
import { planned } from './limits.ts'
import { type Noun, useCasesOf } from './noun.ts'
import { externalRef, MOST_DAYS, name } from './shapes.ts'

/** Most beers that have a set-up time of their own. */
export const MOST_SETUPS = 1000
/** Most container types that one filler fills. */
export const MOST_RATES = 200

const minutes = planned.filler.minutesPerDay

const shape = z.strictObject({
  externalRef,
  name,
  site: thingRef,
  minutesPerDay: minutes,
  minutesOn: z
    .array(z.strictObject({ on: localDate, minutes }))
    .max(MOST_DAYS)
    .default([]),
  setupMinutes: minutes.optional(),
  setupMinutesByBeer: z
    .array(z.strictObject({ beer: thingRef, minutes }))
    .max(MOST_SETUPS)
    .default([]),
  setupLossLitres: planned.filler.setupLossLitres,
  washMinutes: planned.filler.washMinutes,
  fills: z.array(z.strictObject({ containerType: thingRef, minutesEach: minutes })).max(MOST_RATES),
})

const noun: Noun<typeof shape> = {
  kind: 'Filler',
  key: 'filler',
  shape,
  fixed: ['site'],
  describe: async (tx, key) => {
    const { days, setups, rates, siteId, externalRef, setupMinutes, ...row } = await tx.filler.findUniqueOrThrow({
      where: { distributorId_id: key },
      omit: { distributorId: true, id: true, retiredAt: true, updatedAt: true },
      include: {
        days: { orderBy: { on: 'asc' } },
        setups: { orderBy: { beerId: 'asc' } },
        rates: { orderBy: { containerTypeId: 'asc' } },
      },
    })
    return {
      ...row,
      site: { id: encodeGlobalId('Site', siteId) },
      externalRef: externalRef ?? undefined,
      setupMinutes: setupMinutes ?? undefined,
      minutesOn: days.map(({ on, minutes }) => ({ on: dayOf(on), minutes })),
      setupMinutesByBeer: setups.map(({ beerId, minutes }) => ({
        beer: { id: encodeGlobalId('Beer', beerId) },
        minutes,
      })),
      fills: rates.map(({ containerTypeId, minutesEach }) => ({
        containerType: { id: encodeGlobalId('ContainerType', containerTypeId) },
        minutesEach,
      })),
    }
  },
  save: async ({ tx, refs, isNew, names }, key, { site, minutesOn, setupMinutesByBeer, fills, ...given }) => {
    const siteId = await refs.id('Site', site, 'site', { retired: !isNew })
    if (given.setupMinutes !== undefined && setupMinutesByBeer.length > 0)
      refs.note(issue('setupMinutes', 'NOT_BOTH', 'give one set-up time for all beers, or times by beer'))
    const setups = await minutesOf(
      refs,
      'Beer',
      setupMinutesByBeer.map(({ beer, minutes }, index) => ({
        ref: beer,
        path: `setupMinutesByBeer[${index}].beer`,
        minutes,
      })),
      !names('setupMinutesByBeer'),
    )
    const rates = await minutesOf(
      refs,
      'ContainerType',
      fills.map(({ containerType, minutesEach }, index) => ({
        ref: containerType,
        path: `fills[${index}].containerType`,
        minutes: minutesEach,
      })),
      !names('fills'),
    )
    minutesOn.forEach(({ on }, index) => {
      if (minutesOn.findIndex((day) => day.on === on) < index)
        refs.note(issue(`minutesOn[${index}].on`, 'DUPLICATE_ENTRY', `${on} has minutes already`))
    })
    refs.settle()
    const data = {
      ...given,
      siteId,
      externalRef: given.externalRef ?? null,
      setupMinutes: given.setupMinutes ?? null,
    }
    await tx.filler.upsert({ where: { distributorId_id: key }, create: { ...key, ...data }, update: data })
    const where = { distributorId: key.distributorId, fillerId: key.id }
    await tx.fillerDay.deleteMany({ where })
    await tx.fillerDay.createMany({ data: minutesOn.map(({ on, minutes }) => ({ ...where, on: dateOf(on), minutes })) })
    await tx.fillerSetup.deleteMany({ where })
    await tx.fillerSetup.createMany({ data: setups.map(([beerId, minutes]) => ({ ...where, beerId, minutes })) })
    await tx.fillerRate.deleteMany({ where })
    await tx.fillerRate.createMany({
      data: rates.map(([containerTypeId, minutesEach]) => ({ ...where, containerTypeId, minutesEach })),
    })
  },
  retire: async (tx, key, retiredAt) => {
    await tx.filler.update({ where: { distributorId_id: key }, data: { retiredAt } })
  },
}

/** Minutes by the id of the thing that each entry names; a thing named twice is noted. */
async function minutesOf(
  refs: References,
  kind: ThingKind,
  entries: readonly { ref: ThingRef; path: string; minutes: number }[],
  retired: boolean,
): Promise<[string, number][]> {
  const found = new Map<string, number>()
  for (const { ref, path, minutes } of entries) {
    const id = await refs.id(kind, ref, path, { retired })
    if (id !== '' && found.has(id)) refs.note(issue(path, 'DUPLICATE_ENTRY', `the list names this ${kind} already`))
    found.set(id, minutes)
  }
  return [...found]
}

export const { create: createFiller, change: changeFiller, retire: retireFiller } = useCasesOf(noun)
