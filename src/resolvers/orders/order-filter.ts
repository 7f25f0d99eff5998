// Which orders a list has.
import { z } from 'zod'
import { dateOf } from '../../database/calendar-day.ts'
import type { Prisma } from '../../database/client.ts'
import { issue } from '../../errors.ts'
import { localDate } from '../../planner/documents/index.ts'
import { runOut } from '../../records/reserved.ts'
import type { Actor } from '../actor.ts'
import { changedSince, updatedSince } from '../changes/updated.ts'
import { readInput } from '../read-input.ts'
import { givenRef } from '../setup/shapes.ts'
import { orderNumber, References, thingRef } from '../thing-ref.ts'
import { type LineAtRisk, linesAtRisk } from './lines-at-risk.ts'

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
      externalRefs: z.array(givenRef).max(MOST_REFS).optional(),
      number: orderNumber().optional(),
      changedSince,
    })
    .default({}),
})

/** The condition of a list of orders. Throws `InvalidInput`, `NotFound`. */
export async function orderWhere(actor: Actor, filter: unknown): Promise<Prisma.OrderWhereInput> {
  const { client, clock, distributorId } = actor
  const reading = readInput(shape, { filter })
  const given = reading.given.filter
  const { serveFrom, serveTo } = given
  const refs = new References(client, distributorId)
  refs.take(reading)
  if (serveFrom !== undefined && serveTo !== undefined && serveTo < serveFrom)
    refs.noteBeside(['filter.serveFrom'], issue('filter.serveTo', 'SPAN_REVERSED', `${serveTo} is before ${serveFrom}`))
  const accountId = given.account && (await refs.subject('Account', given.account, 'filter.account'))?.id
  const packId = given.pack && (await refs.subject('Pack', given.pack, 'filter.pack'))?.id
  refs.settle()
  const serveOn: { gte?: Date; lte?: Date } = {
    ...(serveFrom === undefined ? {} : { gte: dateOf(serveFrom) }),
    ...(serveTo === undefined ? {} : { lte: dateOf(serveTo) }),
  }
  const conditions = { ...(packId === undefined ? {} : { packId }), ...(isEmpty(serveOn) ? {} : { serveOn }) }
  const has = ({ packId: of, serveOn: on }: LineAtRisk) =>
    (packId === undefined || of === packId) &&
    (serveOn.gte === undefined || on >= serveOn.gte) &&
    (serveOn.lte === undefined || on <= serveOn.lte)
  const risky = given.atRisk === undefined ? [] : await linesAtRisk(actor)
  const ids = (lines: readonly LineAtRisk[]) => ({ in: [...new Set(lines.map(({ orderId }) => orderId))] })
  return {
    distributorId,
    AND: [standing(given.status, clock.now())],
    accountId,
    number: given.number,
    ...updatedSince(given.changedSince),
    ...(given.externalRefs === undefined ? {} : { externalRef: { in: given.externalRefs } }),
    // One and the same line is at risk and of the pack and day that are asked for.
    ...(given.atRisk === true ? { id: ids(risky.filter(has)) } : {}),
    ...(given.atRisk === false ? { NOT: { id: ids(risky) } } : {}),
    ...(given.atRisk === true || isEmpty(conditions) ? {} : { lines: { some: conditions } }),
  }
}

function isEmpty(conditions: object): boolean {
  return Object.keys(conditions).length === 0
}

/** Orders that stand so at an instant. What is only reserved, or was, is no order yet: it shows where it is asked for. */
function standing(status: OrderStatus | undefined, now: Date): Prisma.OrderWhereInput {
  const over = { reservation: { status: 'ACTIVE' as const, expiresAt: runOut(now) } }
  if (status === undefined) return { status: { notIn: ['RESERVED', 'LAPSED'] } }
  if (status === 'RESERVED') return { status, NOT: over }
  if (status === 'LAPSED') return { OR: [{ status }, { status: 'RESERVED', ...over }] }
  return { status }
}
