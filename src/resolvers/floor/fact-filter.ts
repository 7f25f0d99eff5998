// Which facts a list shows.
import { z } from 'zod'
import { dateOf } from '../../database/calendar-day.ts'
import type { Prisma } from '../../database/client.ts'
import { issue } from '../../errors.ts'
import { FACT_KINDS, type FactKind } from '../../floor/facts/fact.ts'
import { localDate } from '../../planner/documents/index.ts'
import { EFFECTIVE } from '../../records/fact-rows.ts'
import type { Actor } from '../actor.ts'
import { changedSince, updatedSince } from '../changes/updated.ts'
import { readInput } from '../read-input.ts'
import { References, type ThingKind, thingRef } from '../thing-ref.ts'

const shape = z.strictObject({
  filter: z
    .strictObject({
      kinds: z.array(z.enum(FACT_KINDS)).max(FACT_KINDS.length).optional(),
      from: localDate.optional(),
      to: localDate.optional(),
      site: thingRef.optional(),
      batch: thingRef.optional(),
      lot: thingRef.optional(),
      vessel: thingRef.optional(),
      orderLine: thingRef.optional(),
      account: thingRef.optional(),
      changedSince,
      assumed: z.boolean().optional(),
      effectiveOnly: z.boolean().default(false),
    })
    .default({ effectiveOnly: false }),
})

/** What a fact can be about, by what the filter calls it. */
const SUBJECTS = {
  batch: ['Batch', 'BATCH'],
  lot: ['StockLot', 'LOT'],
  vessel: ['Vessel', 'VESSEL'],
  orderLine: ['OrderLine', 'ORDER_LINE'],
  account: ['Account', 'ACCOUNT'],
} as const satisfies Record<string, readonly [ThingKind, string]>

const SUBJECT_KEYS = ['batch', 'lot', 'vessel', 'orderLine', 'account'] as const

/** The condition that a filter stands for. Throws `InvalidInput`, `NotFound`. */
export async function factsWhere(
  { client, distributorId }: Pick<Actor, 'client' | 'distributorId'>,
  filter: unknown,
): Promise<Prisma.FactWhereInput> {
  const reading = readInput(shape, { filter })
  const { kinds, from, to, site, changedSince: since, assumed, effectiveOnly, ...things } = reading.given.filter
  const refs = new References(client, distributorId)
  refs.take(reading)
  if (from !== undefined && to !== undefined && to < from)
    refs.noteBeside(['filter.from', 'filter.to'], issue('filter.to', 'SPAN_REVERSED', `${to} is before ${from}`))
  const about: Prisma.FactWhereInput[] = []
  for (const key of SUBJECT_KEYS) {
    const ref = things[key]
    if (!ref) continue
    const [kind, subject] = SUBJECTS[key]
    const found = await refs.subject(kind, ref, `filter.${key}`)
    if (found) about.push({ subjects: { some: { kind: subject, subjectId: found.id } } })
  }
  const at = site && (await refs.subject('Site', site, 'filter.site'))
  refs.settle()
  return {
    distributorId,
    ...updatedSince(since),
    ...(kinds ? { kind: { in: kinds satisfies FactKind[] } } : {}),
    ...(from === undefined && to === undefined
      ? {}
      : { on: { ...(from ? { gte: dateOf(from) } : {}), ...(to ? { lte: dateOf(to) } : {}) } }),
    ...(at ? { siteId: at.id } : {}),
    ...(assumed === undefined ? {} : { assumed }),
    ...(effectiveOnly ? EFFECTIVE : {}),
    AND: about,
  }
}

/** Facts that were assumed and that no one has said since. */
export function unconfirmedWhere(distributorId: string): Prisma.FactWhereInput {
  return { distributorId, ...EFFECTIVE, assumed: true }
}
