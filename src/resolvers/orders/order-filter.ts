// Which orders a list has.
import { z } from 'zod'
import { dateOf } from '../../database/calendar-day.ts'
import type { Prisma } from '../../database/client.ts'
import { InvalidInput, issue } from '../../errors.ts'
import { localDate } from '../../planner/documents/index.ts'
import type { Actor } from '../actor.ts'
import { parseInput } from '../parse-input.ts'
import { orderNumber, subjectId, thingRef } from '../thing-ref.ts'
import { readMovedOn } from './risks.ts'

/** Most references of a filter. */
export const MOST_REFS = 200

const orderStatus = z.enum(['OPEN', 'DELIVERED', 'CANCELLED', 'RESERVED', 'LAPSED'])
type OrderStatus = z.infer<typeof orderStatus>

const shape = z.strictObject({
  filter: z
    .strictObject({
      status: orderStatus.optional(),
      account: thingRef.optional(),
      pack: thingRef.optional(),
      serveFrom: localDate.optional(),
      serveTo: localDate.optional(),
      atRisk: z.boolean().optional(),
      externalRefs: z.array(z.string()).max(MOST_REFS).optional(),
      number: orderNumber().optional(),
    })
    .default({}),
})

/** The condition of a list of orders. Throws `InvalidInput`, `NotFound`. */
export async function orderWhere(actor: Actor, filter: unknown): Promise<Prisma.OrderWhereInput> {
  const { client, clock, distributorId } = actor
  const given = parseInput(shape, { filter }).filter
  const { serveFrom, serveTo } = given
  if (serveFrom !== undefined && serveTo !== undefined && serveTo < serveFrom)
    throw new InvalidInput([issue('filter.serveTo', 'SPAN_REVERSED', `${serveTo} is before ${serveFrom}`)])
  const accountId = given.account && (await subjectId(client, distributorId, 'Account', given.account))
  const packId = given.pack && (await subjectId(client, distributorId, 'Pack', given.pack))
  const serveOn = {
    ...(serveFrom === undefined ? {} : { gte: dateOf(serveFrom) }),
    ...(serveTo === undefined ? {} : { lte: dateOf(serveTo) }),
  }
  const risky = given.atRisk === undefined ? {} : await atRisk(actor)
  const conditions: Prisma.OrderLineWhereInput[] = [
    ...(packId === undefined ? [] : [{ packId }]),
    ...(Object.keys(serveOn).length === 0 ? [] : [{ serveOn }]),
    ...(given.atRisk === true ? [risky] : []),
  ]
  return {
    distributorId,
    AND: [standing(given.status, clock.now())],
    accountId,
    number: given.number,
    ...(given.externalRefs === undefined ? {} : { externalRef: { in: given.externalRefs } }),
    ...(conditions.length === 0 ? {} : { lines: { some: { AND: conditions } } }),
    ...(given.atRisk === false ? { NOT: { lines: { some: risky } } } : {}),
  }
}

/** Orders that stand so at an instant. What is only reserved, or was, is no order yet: it shows where it is asked for. */
function standing(status: OrderStatus | undefined, now: Date): Prisma.OrderWhereInput {
  const over = { reservation: { status: 'ACTIVE' as const, expiresAt: { lte: now } } }
  if (status === undefined) return { status: { notIn: ['RESERVED', 'LAPSED'] } }
  if (status === 'RESERVED') return { status, NOT: over }
  if (status === 'LAPSED') return { OR: [{ status }, { status: 'RESERVED', ...over }] }
  return { status }
}

/** Lines that the plan in force, as far as it still holds, serves late or not wholly. */
async function atRisk(actor: Actor): Promise<Prisma.OrderLineWhereInput> {
  const moved = [...(await readMovedOn(actor))]
  const verdicts = { some: { plan: { status: 'IN_FORCE' as const } } }
  return {
    OR: [
      { verdicts, id: { notIn: moved.map(([id]) => id) } },
      { id: { in: moved.flatMap(([id, { atRisk }]) => (atRisk ? [id] : [])) } },
    ],
  }
}
