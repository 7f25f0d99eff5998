// The reservation that something is to be done with: it must still hold.
import { dayOf } from '../../database/calendar-day.ts'
import { Conflict, NotFound } from '../../errors.ts'
import { lineWithDefaults } from '../../planner/documents/index.ts'
import { hasRunOut } from '../../records/reserved.ts'
import type { Snapshot } from '../../records/snapshots.ts'
import type { ReadContext } from '../commands/command.ts'
import { isWhole } from '../promise/whole.ts'
import { findThing, type ThingRef, wordsOf } from '../thing-ref.ts'
import { type DescribedReservation, describeReservation } from './describe.ts'

/**
 * A reservation that holds, as the change log records it. Throws all that was noted of the input; `NotFound`, and `Conflict` where its time ran
 * out, or where it was confirmed or released: which, and when.
 */
export async function activeReservation(
  { client, refs, snapshot, now, dependOn }: ReadContext,
  ref: ThingRef,
): Promise<DescribedReservation> {
  const { distributorId } = snapshot
  const path = 'reservation'
  const found = await findThing(client, distributorId, 'Reservation', ref)
  const row =
    found &&
    (await client.reservation.findUnique({
      where: { distributorId_id: { distributorId, id: found.id } },
      include: { order: { include: { lines: { orderBy: { lineNumber: 'asc' } } } } },
    }))
  if (!row) return refs.giveUp(path, new NotFound('Reservation', wordsOf(ref)))
  const { status, endedAt, expiresAt } = row
  if (status === 'CONFIRMED' || status === 'RELEASED')
    return refs.giveUp(
      path,
      new Conflict(
        'RESERVATION_ENDED',
        `The reservation "${wordsOf(ref)}" was ${status.toLowerCase()} at ${(endedAt ?? now).toISOString()}.`,
        [],
        [],
        status === 'CONFIRMED' ? { type: 'Order', id: row.orderId } : undefined,
      ),
    )
  if (status === 'EXPIRED' || hasRunOut(row, now))
    return refs.giveUp(
      path,
      new Conflict(
        'RESERVATION_EXPIRED',
        `The reservation "${wordsOf(ref)}" ran out at ${expiresAt.toISOString()}. ${couldBeHad(snapshot, row.order)}`,
      ),
    )
  dependOn(row.id, row.orderId)
  refs.settle()
  return describeReservation(client, distributorId, row.id)
}

interface LapsedOrder {
  id: string
  accountId: string
  lines: { id: string; packId: string; quantity: number; serveOn: Date; promisedOn: Date | null; splittable: boolean }[]
}

/** Whether what lapsed could be had for the same days just now, in words. */
function couldBeHad({ problem, inForce }: Snapshot, { id, accountId, lines }: LapsedOrder): string {
  const packs = new Set(problem.beers.flatMap((beer) => beer.packs.map((pack) => pack.id)))
  const known = problem.accounts.some((account) => account.id === accountId)
  if (!inForce || !known || !lines.every(({ packId }) => packs.has(packId))) return 'It cannot be had any more.'
  const asked = lines.map(({ id: lineId, packId, quantity, serveOn, promisedOn, splittable }) =>
    lineWithDefaults({
      id: lineId,
      orderId: id,
      accountId,
      packId,
      quantity,
      serveOn: dayOf(serveOn),
      latestServeOn: dayOf(promisedOn ?? serveOn),
      splittable,
    }),
  )
  const answers = inForce.held().trial.promise(asked, { unexplained: true })
  return answers.every(isWhole)
    ? 'It could be had for the same days just now.'
    : 'It cannot be had for the same days any more.'
}
