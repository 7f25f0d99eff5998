// What the benchmark asks the API: as an order form or a salesperson's tool would, of accounts and packs at random.
import { type Random, randomFrom } from '../../seeds/random.ts'
import { addDays } from '../../src/planner/days.ts'
import type { Scenario } from '../../src/records/scenario.ts'

/** The least that an authenticated query can ask of the records. */
export const TRIVIAL = '{ distributor { name } }'

/** A promise as an order form shows it: no limits and no alternatives. */
export const PROMISE = `query ($input: PromiseInput!) {
  promise(input: $input) { allOnTime earliestServeOn revision lines { serveOn onTime } }
}`

export const PLACE = `mutation ($input: PlaceOrderInput!) {
  placeOrder(input: $input) {
    __typename ... on OrderPayload { revision order { id } } ... on NotPossible { code } ... on Conflict { code message }
  }
}`

export const CANCEL = `mutation ($input: CancelOrderInput!) {
  cancelOrder(input: $input) { __typename ... on Conflict { code message } }
}`

/** Asks at random, the same for the same seed. */
export class Asks {
  readonly #random: Random
  readonly #accounts: string[]
  readonly #packs: string[]
  readonly #today: string
  readonly #horizonDays: number

  constructor({ problem, names }: Scenario, seed: number) {
    this.#random = randomFrom(seed)
    this.#accounts = Object.values(names.accounts ?? {}).flatMap(({ externalRef }) => externalRef ?? [])
    this.#packs = Object.values(names.packs ?? {}).flatMap(({ externalRef }) => externalRef ?? [])
    this.#today = problem.today
    this.#horizonDays = problem.horizonDays
  }

  /** One account, a serve day from the day after tomorrow on, one to three lines of one to six containers. */
  next() {
    const random = this.#random
    const serveOn = addDays(this.#today, random.int(2, this.#horizonDays - 1))
    const lines = Array.from({ length: random.int(1, 3) }, () => ({
      pack: { externalRef: random.pick(this.#packs) },
      quantity: random.int(1, 6),
    }))
    return { account: { externalRef: random.pick(this.#accounts) }, serveOn, lines }
  }

  /** Four weeks from tomorrow, for one account and all packs. */
  span() {
    const account = { externalRef: this.#random.pick(this.#accounts) }
    return { account, from: addDays(this.#today, 1), to: addDays(this.#today, 28) }
  }
}
