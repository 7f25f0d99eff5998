// How an order, or a line of one, differs from what an input says of it: for one whose reference is taken.
import { dayOf } from '../../database/calendar-day.ts'
import type { ReadContext } from '../commands/command.ts'
import { encodeGlobalId } from '../global-id.ts'
import { signedOffer } from '../promise/offer-token.ts'
import { isSame } from '../same-thing.ts'
import { findThing, type ThingRef } from '../thing-ref.ts'
import { type DescribedOrder, describeOrder } from './describe.ts'
import { fieldsThatDiffer, matchLines, nameOf, type Pair, saidLine } from './match-lines.ts'
import type { NewLine } from './shapes.ts'

/** What an input says of an order of lines of its own. */
export interface SaidOfOrder {
  account?: ThingRef
  note?: string
  serveOn?: string
  lines?: readonly NewLine[]
}

type Context = Pick<ReadContext, 'client' | 'snapshot'>
type OfferContext = Pick<ReadContext, 'client' | 'snapshot' | 'offerKey'>

/** The fields of an order's input that differ from the order: lines by their places, and `lines` where the order has others besides. */
export async function orderDiffers(context: Context, id: string, given: SaidOfOrder): Promise<string[]> {
  const lookUp = { tx: context.client, distributorId: context.snapshot.distributorId }
  const order = await describeOrder(context.client, lookUp.distributorId, id)
  const differs: string[] = []
  if (!(await isSame(lookUp, { id: encodeGlobalId('Account', order.accountId) }, given.account)))
    differs.push('account')
  if (!(await isSame(lookUp, order.note, given.note))) differs.push('note')
  const { pairs, added, gone } = await matchLines(context, order, given.lines ?? [], given.serveOn)
  const others = pairs.filter((pair) => pair.differs.length > 0)
  const places = [...others.map(({ index }) => index), ...added].sort((one, other) => one - other)
  differs.push(...places.map((index) => `lines[${index}]`))
  return others.length + gone.length > 0 ? [...differs, 'lines'] : differs
}

/** The fields of a line's input that differ from the line of this id, beneath `path`. */
export async function lineDiffers(
  context: Context,
  id: string,
  { line, serveOn, path }: { line: NewLine; serveOn: string | undefined; path: string },
): Promise<string[]> {
  const { distributorId } = context.snapshot
  const row = await context.client.orderLine.findUniqueOrThrow({ where: { distributorId_id: { distributorId, id } } })
  if (row.status === 'CANCELLED') return [path]
  const own = { ...row, serveOn: dayOf(row.serveOn), latestServeOn: row.latestServeOn && dayOf(row.latestServeOn) }
  const differs = fieldsThatDiffer(await saidLine(context, line, serveOn), own)
  return differs.map((field) => `${path}.${nameOf(field)}`)
}

/** What an input takes up: an offer or a reservation. */
export interface TakenUp {
  offerToken?: string
  reservation?: ThingRef
  note?: string
}

/**
 * The fields of an input that differ from the order of this id: `offerToken` where the order is not as that was offered, `reservation`
 * where it is not the order that the reservation became, or was amended or withdrawn since. Undefined where there is no such offer or
 * reservation.
 */
export async function takenUpDiffers(context: OfferContext, id: string, given: TakenUp): Promise<string[] | undefined> {
  const { distributorId } = context.snapshot
  const order = await describeOrder(context.client, distributorId, id)
  // A reservation keeps the note that it has where the input gives none.
  const isNoteLeft = given.note === undefined && given.reservation !== undefined
  const note = isNoteLeft || (given.note ?? null) === order.note ? [] : ['note']
  const isAsTaken =
    given.offerToken === undefined
      ? await becameOf(context, order, given.reservation)
      : await isAsOffered(context, order, given.offerToken)
  if (isAsTaken === undefined) return undefined
  return [...(isAsTaken ? [] : [given.offerToken === undefined ? 'reservation' : 'offerToken']), ...note]
}

async function isAsOffered(context: OfferContext, order: DescribedOrder, token: string): Promise<boolean | undefined> {
  const { snapshot, offerKey } = context
  const offer = signedOffer({ distributorId: snapshot.distributorId, offerKey }, token)
  if (!offer) return undefined
  if (order.accountId !== offer.accountId) return false
  const lines = offer.lines.map(({ packId, offeredOn: _, ...line }) => ({
    ...line,
    pack: { id: encodeGlobalId('Pack', packId) },
  }))
  const { pairs, added, gone } = await matchLines(context, order, lines, undefined)
  const isKept = ({ index, own, differs }: Pair) =>
    differs.length === 0 && own.promisedOn === offer.lines[index]?.offeredOn
  return added.length + gone.length === 0 && pairs.every(isKept)
}

/** Whether the order is what a reservation became, as it was then. */
async function becameOf(
  { client, snapshot: { distributorId } }: Context,
  { id, status }: DescribedOrder,
  ref: ThingRef | undefined,
): Promise<boolean | undefined> {
  const found = ref && (await findThing(client, distributorId, 'Reservation', ref))
  if (!found) return undefined
  const where = { distributorId, id: found.id, orderId: id, status: 'CONFIRMED' as const }
  if (status === 'CANCELLED' || (await client.reservation.count({ where })) === 0) return false
  const amended = { distributorId, entityType: 'Order', entityId: id, kind: 'ORDER_AMENDED' }
  return (await client.changeLogEntry.count({ where: amended })) === 0
}
