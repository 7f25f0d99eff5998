// What is to be ordered or reserved: an offer that was made, or an account with lines of its own.
import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import { Conflict, InvalidInput, type Issue, issue } from '../../errors.ts'
import { localDate, type OrderLine } from '../../planner/documents/index.ts'
import type { ReadContext } from '../commands/command.ts'
import { idsOfOffer, type Offer, readOffer, type TakenUpIds } from '../promise/offer-token.ts'
import { thingRef } from '../thing-ref.ts'
import { openLineFaults } from './most-open-lines.ts'
import { newLines, orderLineOf } from './new-lines.ts'
import type { Change } from './replan.ts'
import { MOST_LINES, type NewLine, newLine } from './shapes.ts'

/** The inputs that name it. */
export const askedFor = {
  offerToken: z.string().min(1).max(100_000).optional(),
  account: thingRef.optional(),
  serveOn: localDate.optional(),
  lines: z.array(newLine).min(1).max(MOST_LINES).optional(),
}

const shape = z.object(askedFor)
export type AskedFor = z.output<typeof shape>

export interface Asked extends TakenUpIds {
  accountId: string
  lines: OrderLine[]
  /** The caller's references of the lines, in the same order. */
  references: Pick<NewLine, 'externalRef'>[]
  /** An offer is kept or refused by its own name. */
  refusal: Change['refusal']
}

/** What is wrong with naming both or neither. */
export function askedFaults({ offerToken, account, serveOn, lines }: AskedFor): Issue[] {
  if (offerToken === undefined)
    return [
      ...(account === undefined
        ? [issue('account', 'MISSING_VALUE', 'no account is given; name one with lines, or give an offer')]
        : []),
      ...(lines === undefined
        ? [issue('lines', 'MISSING_VALUE', 'no lines are given; name some, or give an offer')]
        : []),
    ]
  const both = (path: string) => issue(path, 'NOT_BOTH', 'the offer says it already')
  return [
    ...(account === undefined ? [] : [both('account')]),
    ...(lines === undefined ? [] : [both('lines')]),
    ...(serveOn === undefined ? [] : [both('serveOn')]),
  ]
}

/**
 * Looks up what is asked for, and throws all that was noted of the input; `Conflict` where it is an offer that was taken up. Where the order is known already, so may be its lines. Lines of an offer have the offered day as their
 * `promisedOn`.
 */
export async function askedLines(context: ReadContext, given: AskedFor, ofKnownOrder = false): Promise<Asked> {
  const { refs } = context
  refs.note(...askedFaults(given))
  if (given.offerToken !== undefined) {
    const offer = await offerIn(context, given.offerToken, false)
    return offeredLines(context, offer, idsOfOffer(given.offerToken))
  }
  const ids = idsOfOffer()
  const { account, lines: asked = [] } = given
  const accountId = account === undefined ? '' : await refs.account(account, 'account')
  refs.note(...openLineFaults(context.snapshot.problem, asked.length, 'lines'))
  const wanted = await newLines(context, asked, (index) => `lines[${index}]`, { serveOn: given.serveOn, ofKnownOrder })
  refs.settle()
  const lines = wanted.map((line) => orderLineOf(line, randomUUID(), ids.orderId, accountId))
  return { ...ids, accountId, lines, references: asked, refusal: 'NO_PLAN_FITS' }
}

/** The lines of an offer. Throws all that was noted of the input. */
export function offeredLines(context: ReadContext, offer: Offer, ids: TakenUpIds): Asked {
  const { refs, snapshot, now } = context
  const { problem } = snapshot
  const { accountId } = offer
  if (!problem.accounts.some(({ id }) => id === accountId))
    refs.note(issue('offerToken', 'RETIRED', 'the account of the offer was retired since'))
  const packs = new Set(problem.beers.flatMap((beer) => beer.packs.map(({ id }) => id)))
  if (!offer.lines.every(({ packId }) => packs.has(packId)))
    refs.note(issue('offerToken', 'RETIRED', 'a beer of the offer was retired since'))
  refs.note(...openLineFaults(problem, offer.lines.length, 'offerToken'))
  refs.settle()
  const placedAt = now.toISOString()
  const lines = offer.lines.map(({ offeredOn, ...line }) =>
    orderLineOf({ ...line, promisedOn: offeredOn, placedAt }, randomUUID(), ids.orderId, accountId),
  )
  return { ...ids, accountId, lines, references: [], refusal: 'OFFER_GONE' }
}

/**
 * The offer of a token, of a new plan or of the plan in force. Throws all that was noted of the input; `Conflict` with what it became
 * where it was taken up, also after that was cancelled or ran out: a request that comes late must not do it again.
 */
export async function offerIn(context: ReadContext, token: string, ofNewPlan: boolean): Promise<Offer> {
  const { refs, snapshot, now, offerKey } = context
  await refuseUsed(context, token)
  try {
    const offer = readOffer({ distributorId: snapshot.distributorId, offerKey }, now, token)
    const isOfNewPlan = offer.newPlanSearchId !== undefined
    if (isOfNewPlan !== ofNewPlan)
      refs.note(
        issue(
          'offerToken',
          'OFFER_OF_OTHER_KIND',
          isOfNewPlan ? 'it takes a new plan to keep the offer' : 'the plan in force keeps the offer',
        ),
      )
    return offer
  } catch (error) {
    if (error instanceof InvalidInput) {
      refs.note(...error.issues)
      refs.settle()
    }
    throw error
  }
}

/** Throws where the records have what the offer became. */
async function refuseUsed({ client, refs, snapshot, dependOn }: ReadContext, token: string): Promise<void> {
  const { distributorId } = snapshot
  const { orderId: id, reservationId } = idsOfOffer(token)
  dependOn(id, reservationId)
  const order = await client.order.findUnique({
    where: { distributorId_id: { distributorId, id } },
    select: { status: true, reservation: { select: { id: true, status: true } } },
  })
  if (!order) return
  const { reservation } = order
  const takenBy =
    reservation && reservation.status !== 'CONFIRMED'
      ? { type: 'Reservation', id: reservation.id }
      : { type: 'Order', id }
  refs.giveUp('offerToken', new Conflict('OFFER_USED', undefined, [], [], takenBy))
}
