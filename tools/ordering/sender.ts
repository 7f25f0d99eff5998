// Sends what an ordering system wants done, and does not give up: one answer in five it loses, some requests it sends to two servers at once,
// and what has no answer it sends again as it was, under the same key.
import { setTimeout as wait } from 'node:timers/promises'
import { z } from 'zod'
import type { Random } from '../../seeds/random.ts'

const LOST = 0.2
const TWICE_AT_ONCE = 0.1

const answerShape = z.object({
  data: z
    .looseObject({ it: z.looseObject({ __typename: z.string(), code: z.string().optional() }).nullish() })
    .nullish(),
  errors: z.array(z.object({ message: z.string(), extensions: z.object({ code: z.string() }) })).optional(),
})

/** The codes after which the same is sent again. */
const AGAIN: ReadonlySet<string> = new Set([
  ...['IDEMPOTENT_IN_PROGRESS', 'BUSY', 'DATABASE_SLOW', 'DATABASE_AWAY', 'TOO_MANY_REQUESTS', 'SERVER_STOPS'],
])

/** Where servers are to be found now, and the key. */
export interface Servers {
  addresses: () => readonly string[]
  key: string
}

/** One request, with an answer that settles it (null: there was none). */
interface Heard {
  status: number
  text: string | null
}

export class Sender {
  readonly #servers: Servers
  readonly #random: Random
  readonly counts = { requests: 0, lost: 0, broken: 0, twiceAtOnce: 0, refused: 0 }
  /** Answers to one request that differ. */
  readonly differing: string[] = []

  constructor(servers: Servers, random: Random) {
    this.#servers = servers
    this.#random = random
  }

  /** Sends a mutation until there is an answer that is not lost; answers its data. */
  async send(query: string, input: object, key: string): Promise<unknown> {
    const body = JSON.stringify({ query, variables: { input } })
    const heard: string[] = []
    for (;;) {
      const answers = await Promise.all(this.#chosen().map((address) => this.#post(address, body, key)))
      heard.push(...answers.flatMap(({ text }) => text ?? []))
      for (const text of heard) if (text !== heard[0]) this.differing.push(`${key}: ${heard[0]} and ${text}`)
      const [text] = heard
      if (answers.every((answer) => answer.text === null) || text === undefined) {
        await wait(100 + 300 * this.#random.unit())
      } else if (this.#random.chance(LOST)) {
        this.counts.lost += 1
      } else {
        return answerShape.parse(JSON.parse(text)).data?.it
      }
    }
  }

  /** Any server; for some requests two. */
  #chosen(): string[] {
    const servers = this.#random.shuffled(this.#servers.addresses())
    const isTwice = servers.length > 1 && this.#random.chance(TWICE_AT_ONCE)
    this.counts.twiceAtOnce += isTwice ? 1 : 0
    return servers.slice(0, isTwice ? 2 : 1)
  }

  async #post(address: string, body: string, key: string): Promise<Heard> {
    this.counts.requests += 1
    const headers = {
      ...{ 'content-type': 'application/json', authorization: `Bearer ${this.#servers.key}` },
      ...{ 'idempotency-key': `"${key}"` },
    }
    try {
      const response = await fetch(`${address}/graphql`, { method: 'POST', headers, body })
      const text = await response.text()
      const { data, errors } = answerShape.parse(JSON.parse(text))
      const code = errors?.[0]?.extensions.code ?? data?.it?.code
      if (code === undefined || !AGAIN.has(code)) return { status: response.status, text }
      this.counts.refused += 1
      return { status: response.status, text: null }
    } catch {
      this.counts.broken += 1
      return { status: 0, text: null }
    }
  }

  /** Asks a query until it is answered. */
  async ask(query: string, variables: object = {}): Promise<unknown> {
    for (;;) {
      const [address = ''] = this.#random.shuffled(this.#servers.addresses())
      const headers = { 'content-type': 'application/json', authorization: `Bearer ${this.#servers.key}` }
      const body = JSON.stringify({ query, variables })
      try {
        const response = await fetch(`${address}/graphql`, { method: 'POST', headers, body })
        const { data, errors } = z
          .object({ data: z.unknown(), errors: answerShape.shape.errors })
          .parse(await response.json())
        if (!errors) return data
        if (!AGAIN.has(errors[0]?.extensions.code ?? '')) throw new Error(errors[0]?.message, { cause: 'refused' })
      } catch (error) {
        if (error instanceof Error && error.cause === 'refused') throw error
      }
      await wait(100 + 200 * this.#random.unit())
    }
  }
}
