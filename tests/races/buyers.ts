// Two hundred who want one cask each at the same time. They hold on when a server dies: they ask again, under the same
// reference, until they have an answer.
import { setTimeout as wait } from 'node:timers/promises'
import { ACCOUNTS } from '../../seeds/last-casks.ts'
import type { LocalDate } from '../../src/planner/documents/index.ts'
import type { HttpAnswer } from '../../tools/serving/caller.ts'

/** What a buyer does: an order, on time or later; a reservation; or a reservation that becomes an order. */
export const MANNERS = ['ORDER', 'ORDER_LATER', 'RESERVE', 'RESERVE_AND_CONFIRM'] as const
export type Manner = (typeof MANNERS)[number]

export interface Outcome {
  manner: Manner
  /** Reference of its order; of its reservation where it ends as one. */
  reference: string
  /** Whether the answer said that it has its cask. */
  has: boolean
  /** Where not: the reasons that the answer gave. */
  reasons: string[]
}

/** Sends a query to any server that lives. Rejects where the connection broke, so that it is unknown whether it was done. */
export type Ask = (query: string, variables: Record<string, unknown>) => Promise<HttpAnswer>

const ANSWER = `
  ... on Conflict { code message }
  ... on NotPossible { code message reasons { message } }
  ... on InvalidInput { issues { path code message } }
  ... on NotFound { code message }
  ... on Busy { retryAfterSeconds }`
const PLACE = `mutation ($input: PlaceOrderInput!) { it: placeOrder(input: $input) { __typename ${ANSWER} } }`
const RESERVE = `mutation ($input: ReserveBeerInput!) { it: reserveBeer(input: $input) { __typename ${ANSWER} } }`

/** The codes that a repeated call gets where the first one was done although its answer was lost. */
const DONE_ALREADY = ['EXTERNAL_REF_TAKEN', 'RESERVATION_ENDED']

/** Lets buyer number `index` try for a cask on a day, and answers what the last answer said. */
export async function buy(ask: Ask, index: number, serveOn: LocalDate): Promise<Outcome> {
  const manner = MANNERS[index % MANNERS.length] ?? 'ORDER'
  const reference = `REF-${index}`
  const account = { externalRef: `A-${1 + (index % ACCOUNTS)}` }
  const wanted = { account, serveOn, lines: [{ pack: { externalRef: 'ale-firkin' }, quantity: 1 }] }
  const orders = manner === 'ORDER' || manner === 'ORDER_LATER'
  const first = orders
    ? await insist(ask, PLACE, {
        ...wanted,
        externalRef: reference,
        accept: manner === 'ORDER' ? 'ON_TIME_ONLY' : 'LATER',
      })
    : await insist(ask, RESERVE, { ...wanted, externalRef: reference, minutes: 60 })
  if (manner !== 'RESERVE_AND_CONFIRM' || !first.has) return { manner, reference, ...first }
  const confirmed = await insist(ask, PLACE, {
    reservation: { externalRef: reference },
    externalRef: `${reference}/order`,
  })
  return { manner, reference: `${reference}/order`, ...confirmed }
}

/** Asks until there is an answer. */
async function insist(ask: Ask, query: string, input: object): Promise<{ has: boolean; reasons: string[] }> {
  for (let doubtful = false; ; ) {
    let answer: HttpAnswer
    try {
      answer = await ask(query, { input })
    } catch {
      doubtful = true
      await wait(20 + 80 * Math.random())
      continue
    }
    const it = answer.data?.it
    if (answer.errors || typeof it !== 'object' || it === null) throw new Error(`answered ${JSON.stringify(answer)}`)
    const text = JSON.stringify(it)
    const busy = /"retryAfterSeconds":(\d+)/.exec(text)?.[1]
    if (busy !== undefined) {
      await wait(Number(busy) * 1000)
      continue
    }
    if (/"__typename":"(Order|Reservation)Payload"/.test(text)) return { has: true, reasons: [] }
    if (doubtful && DONE_ALREADY.some((code) => text.includes(`"${code}"`))) return { has: true, reasons: [] }
    if (!text.includes('"NotPossible"')) throw new Error(`answered ${text}`)
    return { has: false, reasons: [...text.matchAll(/"message":"([^"]*)"/g)].map(([, message = '']) => message) }
  }
}
