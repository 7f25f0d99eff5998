// An ordering system that does not give up: it sends each order until an answer says what became of it, whatever breaks meanwhile.
import { setTimeout as wait } from 'node:timers/promises'
import { z } from 'zod'
import { type Caller, callerOf, type HttpAnswer } from '../../tools/serving/caller.ts'

const PLACE = `mutation ($input: PlaceOrderInput!) { it: placeOrder(input: $input) {
  __typename ... on Busy { code } ... on Conflict { code } ... on NotPossible { code } } }`

const answerShape = z.object({ __typename: z.string(), code: z.string().optional() })

/** The codes of the limits that an outage or a full queue may answer with. */
const LIMITS = new Set(['BUSY', 'DATABASE_SLOW', 'DATABASE_AWAY', 'TOO_MANY_REQUESTS'])

/** Milliseconds between two orders of a writer: the demo has beer for some hundreds. */
const PAUSE = 500

/** One answer, or a connection that broke. */
export interface Heard {
  /** Milliseconds since the process began, when the request was sent and when it was answered. */
  sentAt: number
  answeredAt: number
  /** The type of the payload or the code of the refusal; `BROKEN` where the connection broke. */
  answer: string
}

/** What is wanted of every order. */
export interface Wanted {
  account: { id: string }
  packs: { id: string }[]
  serveOn: string
}

export class OrderingClient {
  /** References of orders that an answer said are placed. */
  readonly acknowledged = new Set<string>()
  /** References of orders that were refused by the planner. */
  readonly refused = new Set<string>()
  readonly heard: Heard[] = []
  readonly #address: () => string
  readonly #key: string
  readonly #wanted: Wanted
  #caller: { address: string; caller: Caller } | undefined
  #next = 0
  #stopping = false
  #writers: Promise<void>[] = []

  /** `address` says where a server is to be found now. */
  constructor(address: () => string, key: string, wanted: Wanted) {
    this.#address = address
    this.#key = key
    this.#wanted = wanted
  }

  /** Begins with so many orders at once. */
  begin(writers: number): void {
    this.#writers = Array.from({ length: writers }, () => this.#write())
  }

  /** Sends no more orders; resolves when those on their way have been answered. */
  async end(): Promise<void> {
    this.#stopping = true
    await Promise.all(this.#writers)
    this.#caller?.caller.close()
  }

  /** Milliseconds from `moment` until an order that was sent after it was placed. */
  async placedAfter(moment: number): Promise<number> {
    for (;;) {
      const placed = this.heard.find(({ sentAt, answer }) => sentAt > moment && answer === 'OrderPayload')
      if (placed) return placed.answeredAt - moment
      await wait(50)
    }
  }

  async #write(): Promise<void> {
    while (!this.#stopping) {
      const n = ++this.#next
      // Every other one is a wish, which is placed even where all beer is promised.
      const accept = n % 2 === 0 ? 'LATER' : 'AS_DEMAND'
      await this.#insist(`OUT-${n}`, this.#wanted.packs[n % this.#wanted.packs.length], accept)
      await wait(PAUSE)
    }
  }

  async #insist(externalRef: string, pack: { id: string } | undefined, accept: string): Promise<void> {
    const { account, serveOn } = this.#wanted
    const input = { externalRef, account, serveOn, accept, lines: [{ pack, quantity: 1 }] }
    for (let doubtful = false; ; ) {
      const { answer } = await this.#send(input)
      if (answer === 'OrderPayload' || (doubtful && answer === 'EXTERNAL_REF_TAKEN')) {
        this.acknowledged.add(externalRef)
        return
      }
      if (answer === 'NO_PLAN_FITS') {
        this.refused.add(externalRef)
        return
      }
      if (answer !== 'BROKEN' && !LIMITS.has(answer)) throw new Error(`${externalRef} was answered by ${answer}`)
      // The database may have committed what it did not live to say.
      doubtful = true
      await wait(100 + 200 * Math.random())
    }
  }

  async #send(input: object): Promise<Heard> {
    const sentAt = performance.now()
    const answer = await this.#callerNow()
      .ask(PLACE, { input })
      .then(answerOf, () => 'BROKEN')
    const heard = { sentAt, answeredAt: performance.now(), answer }
    this.heard.push(heard)
    return heard
  }

  #callerNow(): Caller {
    const address = this.#address()
    if (this.#caller?.address !== address) {
      this.#caller?.caller.close()
      this.#caller = { address, caller: callerOf(address, this.#key, 16) }
    }
    return this.#caller.caller
  }
}

/** The type of a payload, or the code of a refusal, wherever the answer has it. */
function answerOf({ data, errors }: HttpAnswer): string {
  const [fault] = errors ?? []
  if (fault) return String(fault.extensions?.code ?? fault.message)
  const { __typename, code } = answerShape.parse(data?.it)
  return code ?? __typename
}
