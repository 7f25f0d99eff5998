// Offer tokens: what was offered, to be ordered or reserved just so. They are signed, not stored: a caller that has the
// distributor's key can read them, so two processes on one database agree, and nothing has to be cleaned up.
import { createHash, createHmac, randomUUID, timingSafeEqual } from 'node:crypto'
import { z } from 'zod'
import { InvalidInput, issue } from '../../errors.ts'
import { type LocalDate, localDate, problemShape } from '../../planner/documents/index.ts'
import { MOST_LINES } from '../orders/shapes.ts'

/** Ids of the order and of the reservation that something becomes. */
export interface TakenUpIds {
  orderId: string
  reservationId: string
}

/** Hours for which an offer can be taken up. */
export const OFFER_HOURS = 24

/** One line of an offer. */
export interface OfferedLine {
  packId: string
  /** Whole containers. */
  quantity: number
  /** The day that was asked for. */
  serveOn: LocalDate
  /** The last day on which it is wanted. Absent: no limit. */
  latestServeOn?: LocalDate
  priority?: 1 | 2 | 3
  splittable?: boolean
  /** The day that was offered: all of it is served by then. */
  offeredOn: LocalDate
}

export interface Offer {
  accountId: string
  /** At least one line and at most MOST_LINES. */
  lines: OfferedLine[]
  /** The revision of the records that it was made from. */
  revision: number
  issuedAt: Date
  /** The search that found the new plan that keeps it. Absent: the plan in force keeps it. */
  newPlanSearchId?: string
}

/** Whose offers they are. */
export interface OfferMaker {
  distributorId: string
  /** The distributor's `offerKey`, in hex. */
  offerKey: string
}

/** The first sign of a token says how it is written, so that the way can change. */
const VERSION = 'o1'

const line = problemShape.shape.orderLines.element.shape
const packed = z.object({
  d: z.string(),
  a: z.string(),
  r: z.int(),
  t: z.int(),
  n: z.string().optional(),
  l: z
    .array(
      z.tuple([
        line.packId,
        line.quantity,
        localDate,
        localDate,
        localDate.nullable(),
        line.priority.unwrap().nullable(),
        z.boolean().nullable(),
      ]),
    )
    .min(1)
    .max(MOST_LINES),
})

/** The token of an offer: text of letters, digits, `-`, `_` and full stops. */
export function mintOffer({ distributorId, offerKey }: OfferMaker, offer: Offer): string {
  const payload: z.input<typeof packed> = {
    d: distributorId,
    a: offer.accountId,
    r: offer.revision,
    t: offer.issuedAt.getTime(),
    n: offer.newPlanSearchId,
    l: offer.lines.map((each) => [
      each.packId,
      each.quantity,
      each.serveOn,
      each.offeredOn,
      each.latestServeOn ?? null,
      each.priority ?? null,
      each.splittable ?? null,
    ]),
  }
  const text = `${VERSION}.${Buffer.from(JSON.stringify(payload)).toString('base64url')}`
  return `${text}.${signature(offerKey, text)}`
}

/**
 * What a token offers. Throws `InvalidInput` at `path`: `OFFER_ALTERED` where it was not made by this distributor or is
 * not as it was, `OFFER_EXPIRED` where it is older than OFFER_HOURS. Whether it can still be kept is for the planner to say.
 */
export function readOffer(maker: OfferMaker, now: Date, token: string, path = 'offerToken'): Offer {
  const offer = signedOffer(maker, token)
  if (!offer) throw new InvalidInput([issue(path, 'OFFER_ALTERED')])
  const age = now.getTime() - offer.issuedAt.getTime()
  if (age >= OFFER_HOURS * 3_600_000)
    throw new InvalidInput([
      issue(
        path,
        'OFFER_EXPIRED',
        `the offer was made at ${offer.issuedAt.toISOString()}, and held for ${OFFER_HOURS} hours`,
      ),
    ])
  return offer
}

/**
 * The ids that an offer's order and reservation get: those of one token are the same each time, so that the records themselves let it
 * be taken up once, on every server. What is no offer gets new ones.
 */
export function idsOfOffer(token?: string): TakenUpIds {
  if (token === undefined) return { orderId: randomUUID(), reservationId: randomUUID() }
  return { orderId: idOf('order', token), reservationId: idOf('reservation', token) }
}

/** A UUID of version 8 (RFC 9562, 5.8): the first bits of a SHA-256, beside those that say version and variant. */
function idOf(what: string, token: string): string {
  const bytes = createHash('sha256').update(`${what} of the offer ${token}`).digest()
  bytes[6] = (bytes.readUInt8(6) & 0x0f) | 0x80
  bytes[8] = (bytes.readUInt8(8) & 0x3f) | 0x80
  const hex = bytes.toString('hex')
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20, 32)].join('-')
}

/** What a token offered, however long ago; undefined where it was not made by this distributor or is not as it was. */
export function signedOffer({ distributorId, offerKey }: OfferMaker, token: string): Offer | undefined {
  const end = token.lastIndexOf('.')
  const text = token.slice(0, Math.max(0, end))
  // The signature is compared as it is written: decoding would forgive signs that decode to the same bytes.
  const given = Buffer.from(token.slice(end + 1))
  const right = Buffer.from(signature(offerKey, text))
  if (given.length !== right.length || !timingSafeEqual(given, right)) return undefined
  const [version, body = ''] = text.split('.')
  if (version !== VERSION) return undefined
  const parsed = packed.safeParse(JSON.parse(Buffer.from(body, 'base64url').toString('utf8')))
  if (!parsed.success || parsed.data.d !== distributorId) return undefined
  const { a, r, t, n, l } = parsed.data
  return {
    accountId: a,
    revision: r,
    issuedAt: new Date(t),
    ...(n === undefined ? {} : { newPlanSearchId: n }),
    lines: l.map(([packId, quantity, serveOn, offeredOn, latestServeOn, priority, splittable]) => ({
      packId,
      quantity,
      serveOn,
      offeredOn,
      ...(latestServeOn === null ? {} : { latestServeOn }),
      ...(priority === null || priority === undefined ? {} : { priority }),
      ...(splittable === null ? {} : { splittable }),
    })),
  }
}

function signature(offerKey: string, text: string): string {
  return createHmac('sha256', Buffer.from(offerKey, 'hex')).update(text).digest('base64url')
}
