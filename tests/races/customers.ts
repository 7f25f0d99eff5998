// Customers who all want a cask at once, over HTTP. One whose connection breaks asks again, of whichever server answers,
// with the same reference: so it hears what became of it, or has it done.
import { setTimeout as wait } from 'node:timers/promises'
import { type Caller, callerOf } from '../../tools/serving/caller.ts'
import { accountRef } from './last-casks.ts'

/** What became of what a customer wanted. */
export interface Outcome {
  /** The reference of its order or reservation. */
  ref: string
  kind: 'ORDER' | 'RESERVATION'
  /** Whether the API acknowledged it; else it said why not. */
  done: boolean
  /** The code of the refusal. */
  code?: string
  /** Whether a refusal says another day or a reason. */
  told?: boolean
}

const PACK = { externalRef: 'bitter-firkin' }
const REFUSAL = '... on Refusal { code message } ... on NotPossible { reasons { message } }'
const PLACE = `mutation ($input: PlaceOrderInput!) { answer: placeOrder(input: $input) {
  __typename ... on OrderPayload { order { externalRef } } ${REFUSAL} } }`
const RESERVE = `mutation ($input: ReserveBeerInput!) { answer: reserveBeer(input: $input) {
  __typename ... on ReservationPayload { reservation { externalRef } } ${REFUSAL} } }`

interface Answer {
  __typename: string
  code?: string
  message?: string
  reasons?: { message: string }[]
}

/** Asks the servers in turn, beginning with its own; a broken connection leads to the next. */
export class Customers {
  readonly #callers = new Map<string, Caller>()
  /** Where servers answer now; changes when one is killed and started again. */
  readonly #addresses: () => string[]
  readonly #key: string

  constructor(addresses: () => string[], key: string) {
    this.#addresses = addresses
    this.#key = key
  }

  /** Orders a cask for the day, or not at all. */
  async order(customer: number, serveOn: string, accept = 'ON_TIME_ONLY'): Promise<Outcome> {
    const ref = `order-${customer}`
    const input = { externalRef: ref, accept, ...asked(customer, serveOn) }
    return outcome(ref, 'ORDER', await this.#ask(customer, PLACE, { input }))
  }

  /** Reserves a cask for the day; confirms it where that is wanted. */
  async reserve(customer: number, serveOn: string, confirmed: boolean): Promise<Outcome> {
    const ref = `reservation-${customer}`
    const input = { externalRef: ref, minutes: 60, ...asked(customer, serveOn) }
    const reserved = outcome(ref, 'RESERVATION', await this.#ask(customer, RESERVE, { input }))
    if (!reserved.done || !confirmed) return reserved
    const order = `order-${customer}`
    const confirmation = { input: { reservation: { externalRef: ref }, externalRef: order } }
    return outcome(order, 'ORDER', await this.#ask(customer, PLACE, confirmation))
  }

  close(): void {
    for (const caller of this.#callers.values()) caller.close()
  }

  async #ask(customer: number, query: string, variables: Record<string, unknown>): Promise<Answer> {
    for (let attempt = 0; ; attempt += 1) {
      const addresses = this.#addresses()
      const address = addresses[(customer + attempt) % Math.max(1, addresses.length)]
      if (address) {
        try {
          const { data, errors } = await this.#caller(address).ask(query, variables)
          const answer = data?.answer
          if (isAnswer(answer)) return answer
          throw new Error(`a fault: ${JSON.stringify(errors)}`)
        } catch (error) {
          if (error instanceof Error && error.message.startsWith('a fault')) throw error
          if (attempt > 600) throw error
        }
      }
      await wait(50)
    }
  }

  #caller(address: string): Caller {
    let caller = this.#callers.get(address)
    if (!caller) {
      caller = callerOf(address, this.#key, 100)
      this.#callers.set(address, caller)
    }
    return caller
  }
}

function asked(customer: number, serveOn: string) {
  return { account: { externalRef: accountRef(customer) }, serveOn, lines: [{ pack: PACK, quantity: 1 }] }
}

function isAnswer(value: unknown): value is Answer {
  return typeof value === 'object' && value !== null && '__typename' in value
}

/** A reference that is taken was taken by the same customer, whose first answer was lost. */
function outcome(ref: string, kind: Outcome['kind'], answer: Answer): Outcome {
  const { code, message = '', reasons = [] } = answer
  if (code === undefined || code === 'EXTERNAL_REF_TAKEN' || code === 'RESERVATION_ENDED')
    return { ref, kind, done: true }
  return { ref, kind, done: false, code, told: reasons.length > 0 || /at the earliest on/.test(message) }
}
