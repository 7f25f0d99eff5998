// What the benchmark asks the API: as an order form or a salesperson's tool would, of accounts and packs at random.
import { grouped } from '../../seeds/generator/demand.ts'
import { type Random, randomFrom } from '../../seeds/random.ts'
import { addDays } from '../../src/planner/documents/index.ts'
import type { Names, Scenario } from '../../src/records/scenario.ts'

/** A thing by its reference. */
interface ThingRef {
  externalRef: string
}

/** The least that an authenticated query can ask of the records. */
export const TRIVIAL = '{ distributor { name } }'

/** A promise as an order form shows it: no limits and no alternatives. */
export const PROMISE = `query ($input: PromiseInput!) {
  promise(input: $input) { allOnTime earliestServeOn revision lines { serveOn onTime } }
}`

const OF_A_LIST = `edges { node { number lines { quantity promisedOn expectedOn atRisk { containers reasons { rule message } } } } }`

/** What a salesperson looks at in the morning. */
export const AT_RISK = `{ orders(filter: { atRisk: true }, first: 20) { ${OF_A_LIST} } }`

/** The same of all orders. */
export const ORDERS = `{ orders(first: 20) { ${OF_A_LIST} } }`

/** What can be offered, as an order form asks when it opens. */
export const AVAILABILITY = `query ($account: ThingRef!, $from: LocalDate!, $to: LocalDate!) {
  availability(account: $account, from: $from, to: $to) { days { serveOn packs { quantity pack { externalRef } } } }
}`

export const RESERVE = `mutation ($input: ReserveBeerInput!) {
  reserveBeer(input: $input) {
    __typename ... on ReservationPayload { revision reservation { id } } ... on NotPossible { code } ... on Conflict { code }
  }
}`

export const RELEASE = `mutation ($input: ReleaseReservationInput!) { releaseReservation(input: $input) { __typename } }`

/** Asks at random, the same for the same seed. */
export class Asks {
  readonly #random: Random
  /** By account, the packs that it orders. */
  readonly #habits: { account: ThingRef; packs: ThingRef[] }[]
  readonly #today: string
  readonly #horizonDays: number

  constructor({ problem, names }: Scenario, seed: number) {
    this.#random = randomFrom(seed)
    const refOf = (names: Names | undefined, id: string): ThingRef => ({ externalRef: names?.[id]?.externalRef ?? '' })
    const byAccount = grouped(problem.orderLines, ({ accountId }) => accountId)
    this.#habits = [...byAccount].map(([accountId, lines]) => ({
      account: refOf(names.accounts, accountId),
      packs: [...new Set(lines.map(({ packId }) => packId))].map((id) => refOf(names.packs, id)),
    }))
    this.#today = problem.today
    this.#horizonDays = problem.horizonDays
  }

  /** One account, a serve day from the day after tomorrow on, one to three lines of what it orders, one to six containers. */
  next() {
    const random = this.#random
    const { account, packs } = random.pick(this.#habits)
    const serveOn = addDays(this.#today, random.int(2, this.#horizonDays - 1))
    const lines = Array.from({ length: random.int(1, 3) }, () => ({
      pack: random.pick(packs),
      quantity: random.int(1, 6),
    }))
    return { account, serveOn, lines }
  }

  /** Four weeks from tomorrow, for one account and all packs. */
  span() {
    const { account } = this.#random.pick(this.#habits)
    return { account, from: addDays(this.#today, 1), to: addDays(this.#today, 28) }
  }
}
