// The report of what left the brewery on a day or in a span of days.
import { z } from 'zod'
import { dayOf } from '../../database/calendar-day.ts'
import { issue } from '../../errors.ts'
import { dayNumber, localDate } from '../../planner/documents/index.ts'
import { readRemoved } from '../../records/removed-containers.ts'
import { type Removals, removalsOf } from '../../sheets/removals.ts'
import type { Actor } from '../actor.ts'
import { readInput } from '../read-input.ts'
import { References, thingRef } from '../thing-ref.ts'

const shape = z.strictObject({ from: localDate, to: localDate.optional(), site: thingRef.optional() })

/** Most days of a report. */
export const MOST_DAYS = 400

/** What left from the first to the last day; `to` absent: on the first day alone. Throws `InvalidInput`. */
export async function readRemovals({ client, clock, distributorId }: Actor, input: unknown): Promise<Removals> {
  const reading = readInput(shape, input)
  return client.$transaction(
    async (tx) => {
      const refs = new References(tx, distributorId)
      refs.take(reading)
      const { from, to = from, site } = reading.given
      const days = dayNumber(to) - dayNumber(from) + 1
      if (days < 1) refs.note(issue('to', 'OUT_OF_RANGE', 'it lies before `from`'))
      if (days > MOST_DAYS) refs.note(issue('to', 'OUT_OF_RANGE', `a report has at most ${MOST_DAYS} days`))
      const siteId = site && (await refs.id('Site', site, 'site', { retired: true }))
      refs.settle()
      const where = { id: distributorId }
      const { revision, closedThrough, timeZone } = await tx.distributor.findUniqueOrThrow({ where })
      return {
        ...{ from, to, revision, timeZone, madeAt: clock.now().toISOString() },
        isClosed: closedThrough !== null && dayOf(closedThrough) >= to,
        ...removalsOf(await readRemoved(tx, distributorId, { from, to, siteId })),
      }
    },
    { isolationLevel: 'RepeatableRead' },
  )
}
