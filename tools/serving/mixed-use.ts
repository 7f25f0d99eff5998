// Mixed use of the API, as the three users make of it over an hour: orders, cancellations, reservations that run out,
// promises, lists at risk, late and quarantined batches, drafts that are adopted. The same for the same seed.
import { z } from 'zod'
import { type Random, randomFrom } from '../../seeds/random.ts'
import { instantAfter } from '../../src/planner/documents/index.ts'
import type { Scenario } from '../../src/records/scenario.ts'
import { Asks, AT_RISK, PROMISE, RESERVE } from './questions.ts'

const PLACE = `mutation ($input: PlaceOrderInput!) {
  placeOrder(input: $input) { __typename ... on OrderPayload { order { id } } }
}`
const CANCEL = `mutation ($input: CancelOrderInput!) { cancelOrder(input: $input) { __typename } }`
const BATCHES = '{ batches { edges { node { id readyAt quarantined } } } }'
const CHANGE = `mutation ($input: ChangeBatchInput!) { changeBatch(input: $input) { __typename } }`
const DRAFT = `mutation ($input: DraftPlanInput!) { draftPlan(input: $input) { __typename ... on PlanPayload { plan { id } } } }`
const ADOPT = `mutation ($input: AdoptPlanInput!) { adoptPlan(input: $input) { __typename } }`

const batchesShape = z.object({
  batches: z.object({
    edges: z.array(z.object({ node: z.object({ id: z.string(), readyAt: z.string(), quarantined: z.boolean() }) })),
  }),
})
const placedShape = z.object({ placeOrder: z.object({ order: z.object({ id: z.string() }).optional() }) })
const draftShape = z.object({ draftPlan: z.object({ plan: z.object({ id: z.string() }).optional() }) })

/** Sends a query that must be answered, and answers its data. */
export type Send = (query: string, variables?: Record<string, unknown>) => Promise<unknown>

type Act = 'promise' | 'atRisk' | 'place' | 'cancel' | 'reserve' | 'batch' | 'adopt'

/** Each as often as it is done in a hundred. */
const ACTS_BY_SHARE: readonly Act[] = [
  ...Array<Act>(35).fill('promise'),
  ...Array<Act>(15).fill('atRisk'),
  ...Array<Act>(25).fill('place'),
  ...Array<Act>(17).fill('cancel'),
  ...Array<Act>(5).fill('reserve'),
  ...Array<Act>(2).fill('batch'),
  'adopt',
]

export class MixedUse {
  /** How often each was done. */
  readonly done: Record<Act, number> = { promise: 0, atRisk: 0, place: 0, cancel: 0, reserve: 0, batch: 0, adopt: 0 }
  readonly #send: Send
  readonly #settled: () => Promise<void>
  readonly #random: Random
  readonly #asks: Asks
  readonly #placed: string[] = []

  /** `settled` waits until no draft is being solved. */
  constructor(send: Send, settled: () => Promise<void>, scenario: Scenario, seed: number) {
    this.#send = send
    this.#settled = settled
    this.#random = randomFrom(seed)
    this.#asks = new Asks(scenario, seed)
  }

  /** Does one thing. */
  async step(): Promise<void> {
    const act = this.#random.pick(ACTS_BY_SHARE)
    this.done[act] += 1
    await this.#acts[act]()
  }

  /** Puts batches right as they were, and withdraws the orders that are left of those it placed. */
  async putRight(batches: Awaited<ReturnType<MixedUse['batches']>>): Promise<void> {
    for (const { id, readyAt, quarantined } of batches)
      await this.#send(CHANGE, { input: { batch: { id }, readyAt, quarantined } })
    for (const id of this.#placed.splice(0)) await this.#send(CANCEL, { input: { order: { id } } })
  }

  /** The batches as they are now. */
  async batches() {
    return batchesShape.parse(await this.#send(BATCHES)).batches.edges.map(({ node }) => node)
  }

  readonly #acts: Record<Act, () => Promise<unknown>> = {
    promise: () => this.#send(PROMISE, { input: this.#asks.next() }),
    atRisk: () => this.#send(AT_RISK),
    place: async () => {
      const input = { ...this.#asks.next(), accept: 'LATER' }
      const { order } = placedShape.parse(await this.#send(PLACE, { input })).placeOrder
      if (order) this.#placed.push(order.id)
    },
    cancel: async () => {
      const [id] = this.#placed.splice(this.#random.int(0, Math.max(0, this.#placed.length - 1)), 1)
      if (id !== undefined) await this.#send(CANCEL, { input: { order: { id } } })
    },
    reserve: () => this.#send(RESERVE, { input: { ...this.#asks.next(), accept: 'LATER', minutes: 5 } }),
    batch: async () => {
      const { id, readyAt } = this.#random.pick(await this.batches())
      const late = instantAfter(readyAt, this.#random.int(0, 2))
      await this.#send(CHANGE, { input: { batch: { id }, readyAt: late, quarantined: this.#random.chance(0.3) } })
    },
    adopt: async () => {
      const { plan } = draftShape.parse(await this.#send(DRAFT, { input: { effort: { steps: 30 } } })).draftPlan
      await this.#settled()
      if (plan) await this.#send(ADOPT, { input: { id: plan.id } })
    },
  }
}
