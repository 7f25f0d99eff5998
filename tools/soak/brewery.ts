// What one brewery does in an hour of a soak, over HTTP: orders that are cancelled an hour later, reservations of which one runs out,
// facts, a key that listens and is revoked, a draft that is adopted or discarded. So the records stay as large as they are but
// for what is kept of each act.
import { z } from 'zod'
import { addDays } from '../../src/planner/documents/index.ts'
import { callerOf } from '../serving/caller.ts'
import type { Act } from './acts.ts'
import { listenUntilTheEnd } from './listen.ts'

const withId = z.object({ id: z.string() })
const pageOf = z.object({ edges: z.array(z.object({ node: withId })) })
const thingsShape = z.object({
  ...{ accounts: pageOf, packs: pageOf, batches: pageOf },
  fleets: z.object({ edges: z.array(z.object({ node: z.object({ site: withId, containerType: withId }) })) }),
})
const THINGS = `{ accounts(first: 3) { edges { node { id } } } packs(first: 3) { edges { node { id } } }
  batches(filter: { standing: true }, first: 1) { edges { node { id } } }
  fleets(first: 1) { edges { node { site { id } containerType { id } } } } }`

const ORDERS_AN_HOUR = 3
/** Steps of search of each draft. */
const STEPS = 10
/** Minutes of each reservation; the next hour begins later. */
const MINUTES = 10

const writtenShape = z.looseObject({ __typename: z.string(), revision: z.int().optional() })

interface Things {
  accounts: { id: string }[]
  packs: { id: string }[]
  batch: { id: string }
  fleet: { site: { id: string }; containerType: { id: string } }
}

/** What becomes of the draft of an hour. */
export type Draft = 'NONE' | 'ADOPTED' | 'DISCARDED'

export class SoakBrewery {
  readonly id: string
  readonly #address: string
  readonly #key: string
  readonly #settled: () => Promise<void>
  #things: Things | undefined
  #orders: string[] = []
  #revision = 0
  /** By which act each revision was made, since this was last taken. */
  #made = new Map<number, Act>()

  /** `settled` waits until the server has nothing under way. */
  constructor(address: string, { id, key }: { id: string; key: string }, settled: () => Promise<void>) {
    this.id = id
    this.#address = address
    this.#key = key
    this.#settled = settled
  }

  /** By which act each revision was made since the last call. */
  takeMade(): Map<number, Act> {
    const made = this.#made
    this.#made = new Map()
    return made
  }

  /** The first half of an hour: `today` is the day, `n` the number of the hour. */
  async orders(today: string, n: number): Promise<void> {
    const { accounts, packs } = await this.#known()
    const serveOn = addDays(today, 14)
    const wanted = (k: number) => ({
      account: accounts[k % accounts.length],
      lines: [{ pack: packs[(n + k) % packs.length], quantity: 1 + (k % 2) }],
      serveOn,
    })
    await this.#ask('query ($input: PromiseInput!) { promise(input: $input) { earliestServeOn } }', wanted(0))
    for (const id of this.#orders.splice(0)) await this.#act('ORDER_CANCELLED', 'cancelOrder', { order: { id } })
    for (let k = 0; k < ORDERS_AN_HOUR; k += 1) {
      const { order } = await this.#act('ORDER_PLACED', 'placeOrder', { ...wanted(k), accept: 'AS_DEMAND' })
      this.#orders.push(withId.parse(order).id)
    }
    const reserve = { ...wanted(1), accept: 'LATER', minutes: MINUTES }
    const { reservation } = await this.#act('RESERVED', 'reserveBeer', reserve)
    await this.#act('RELEASED', 'releaseReservation', { reservation: { id: withId.parse(reservation).id } })
    await this.#act('RESERVED', 'reserveBeer', reserve)
  }

  /** The second half, in which the reservation has run out: facts, a key, and a draft where one is wanted, with what becomes of it. */
  async facts(n: number, draft: Draft): Promise<void> {
    const { batch, fleet } = await this.#known()
    await this.#act('READING', 'recordFacts', { facts: [{ reading: { batch, celsius: 12 } }] })
    const { facts } = await this.#act('BOUGHT', 'recordFacts', { facts: [{ bought: { ...fleet, quantity: 2 } }] })
    const [bought] = z.array(withId).parse(facts)
    await this.#act('WITHDRAWN', 'correctFact', { fact: bought?.id, withdraw: true })
    await this.#listens(n)
    if (draft !== 'NONE') await this.#drafts(draft)
  }

  async #listens(n: number): Promise<void> {
    const made = await this.#act('KEY_MADE', 'createApiKey', { name: `hour ${n}`, scopes: ['orders:read'] })
    const { apiKey, key } = z.object({ apiKey: withId, key: z.string() }).parse(made)
    await listenUntilTheEnd(this.#address, key, async () => {
      await this.#act('KEY_REVOKED', 'revokeApiKey', { id: apiKey.id })
    })
  }

  async #drafts(draft: Draft): Promise<void> {
    const { plan } = await this.#send('draftPlan', { effort: { steps: STEPS } })
    const { id } = withId.parse(plan)
    await this.#settled()
    if (draft === 'DISCARDED') await this.#act('DISCARDED', 'discardPlan', { id })
    else await this.#act('ADOPTED', 'adoptPlan', { id, acceptBrokenPromises: { all: true } })
  }

  async #known(): Promise<Things> {
    if (this.#things) return this.#things
    const { accounts, packs, batches, fleets } = thingsShape.parse(await this.#ask(THINGS))
    const of = ({ edges }: z.output<typeof pageOf>) => edges.map(({ node }) => node)
    const [[batch], [fleet]] = [of(batches), fleets.edges]
    if (!batch || !fleet) throw new Error('the brewery has no batch or no containers')
    this.#things = { accounts: of(accounts), packs: of(packs), batch, fleet: fleet.node }
    return this.#things
  }

  /** Makes a change, and notes the revision that it made. */
  async #act(act: Act, mutation: keyof typeof PAYLOADS, input: object): Promise<z.output<typeof writtenShape>> {
    const it = await this.#send(mutation, input)
    if (it.revision !== undefined && it.revision > this.#revision) {
      this.#revision = it.revision
      this.#made.set(it.revision, act)
    }
    return it
  }

  /** Sends a mutation that must do what it says. */
  async #send(mutation: keyof typeof PAYLOADS, input: object): Promise<z.output<typeof writtenShape>> {
    const [payload, selection] = PAYLOADS[mutation]
    const type = `${mutation.charAt(0).toUpperCase()}${mutation.slice(1)}Input`
    const text = `mutation ($input: ${type}!) { it: ${mutation}(input: $input) { __typename ... on ${payload} { revision ${selection} }
      ... on Conflict { code message } ... on InvalidInput { issues { path message } } } }`
    const it = writtenShape.parse((await this.#ask(text, input)).it)
    if (it.__typename !== payload) throw new Error(`${mutation} was answered by ${JSON.stringify(it)}`)
    return it
  }

  async #ask(query: string, input?: object): Promise<Record<string, unknown>> {
    // On a connection of its own: one that is kept may be closed by the server just when it is used again.
    const caller = callerOf(this.#address, this.#key, 1)
    const { data, errors } = await caller.ask(query, input ? { input } : {}).finally(() => caller.close())
    if (errors || !data) throw new Error(`${query} was answered by ${JSON.stringify(errors)}`)
    return data
  }
}

/** Of each mutation the type of its answer, and what is asked of it. */
const PAYLOADS = {
  placeOrder: ['OrderPayload', 'order { id }'],
  cancelOrder: ['OrderPayload', ''],
  reserveBeer: ['ReservationPayload', 'reservation { id }'],
  releaseReservation: ['ReservationPayload', ''],
  recordFacts: ['FactsPayload', 'facts { id }'],
  correctFact: ['FactsPayload', ''],
  createApiKey: ['CreateApiKeyPayload', 'apiKey { id } key'],
  revokeApiKey: ['ApiKeyPayload', ''],
  draftPlan: ['PlanPayload', 'plan { id }'],
  adoptPlan: ['PlanPayload', ''],
  discardPlan: ['PlanPayload', ''],
} as const
