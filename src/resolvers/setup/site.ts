// Sites: where beer is brewed, filled, stored and sent out, with their calendars.
import { z } from 'zod'
import { dateOf, dayOf } from '../../database/calendar-day.ts'
import type { TransactionClient } from '../../database/client.ts'
import { issue } from '../../errors.ts'
import { isTimeZone } from '../../planner/documents/index.ts'
import { planned } from './limits.ts'
import { type Noun, useCasesOf } from './noun.ts'
import { externalRef, listOfDays, listOfWeekdays, name } from './shapes.ts'

const shape = z.strictObject({
  externalRef,
  name,
  timeZone: planned.site.timeZone.max(100),
  brewWeekdays: listOfWeekdays,
  fillWeekdays: listOfWeekdays,
  closedOn: listOfDays.default([]),
  brewsPerDay: planned.site.brewsPerDay,
  transfersPerDay: planned.site.transfersPerDay,
  brewLitres: planned.site.brewLitres,
  brewEnds: planned.site.brewEnds,
  fillStarts: planned.site.fillStarts,
  dayEnds: planned.site.fillStarts.default('23:59'),
  unsaidWork: z.enum(['ASSUMED', 'DUE_UNTIL_SAID']).default('ASSUMED'),
})

const noun: Noun<typeof shape> = {
  kind: 'Site',
  key: 'site',
  shape,
  fixed: [],
  describe: async (tx, key) => {
    const { closures, transfersPerDay, brewLitres, externalRef, ...row } = await tx.site.findUniqueOrThrow({
      where: { distributorId_id: key },
      omit: { distributorId: true, id: true, retiredAt: true, updatedAt: true, number: true, endedThrough: true },
      include: { closures: { orderBy: { on: 'asc' } } },
    })
    return {
      ...row,
      externalRef: externalRef ?? undefined,
      transfersPerDay: transfersPerDay ?? undefined,
      brewLitres: brewLitres ?? undefined,
      closedOn: closures.map(({ on }) => dayOf(on)),
    }
  },
  save: async (
    { tx, refs },
    key,
    { closedOn, transfersPerDay = null, brewLitres = null, externalRef = null, ...given },
  ) => {
    if (!isTimeZone(given.timeZone))
      refs.note(issue('timeZone', 'UNKNOWN_TIME_ZONE', `there is no time zone "${given.timeZone}"`))
    refs.settle()
    const data = { ...given, transfersPerDay, brewLitres, externalRef }
    const number = await freeNumber(tx, key.distributorId)
    await tx.site.upsert({ where: { distributorId_id: key }, create: { ...key, ...data, number }, update: data })
    const ofSite = { distributorId: key.distributorId, siteId: key.id }
    await tx.siteClosure.deleteMany({ where: ofSite })
    await tx.siteClosure.createMany({ data: closedOn.map((day) => ({ ...ofSite, on: dateOf(day) })) })
  },
  retire: async (tx, key, retiredAt) => {
    await tx.site.update({ where: { distributorId_id: key }, data: { retiredAt } })
  },
}

/** The lowest number that no site has, for lot codes; 0 where all 36 are taken. */
async function freeNumber(tx: TransactionClient, distributorId: string): Promise<number> {
  const taken = new Set((await tx.site.findMany({ where: { distributorId } })).map(({ number }) => number))
  const free = Array.from({ length: 36 }, (_, n) => n).find((n) => !taken.has(n))
  return free ?? 0
}

export const { create: createSite, change: changeSite, retire: retireSite } = useCasesOf(noun)
