// A typed client in one file: a query's answer has the type that the schema gives it. A mutation is sent with a key of its own, so that
// it can be sent again whenever its answer is lost.
import { setTimeout as wait } from 'node:timers/promises'
import { initGraphQLTada, type TadaDocumentNode } from 'gql.tada'
import { print } from 'graphql'
import type { introspection } from './schema.d.ts'

/** Writes a typed query; days and instants are texts, as in JSON. */
export const graphql = initGraphQLTada<{
  introspection: introspection
  scalars: { LocalDate: string; DateTime: string }
}>()

/** Where the server is, such as `http://127.0.0.1:4000`, and the key that is asked with. */
export interface Service {
  address: string
  key: string
}

/** Answers that are worth asking again for: too many requests, still worked on, or a fault on the way. */
const AGAIN: ReadonlySet<number> = new Set([429, 500, 502, 503, 504])

/** Most attempts; between them it waits as long as the server says, else a second. */
const ATTEMPTS = 6

/** What the server answers. */
interface Answer<Data> {
  data?: Data | null
  errors?: { message: string; extensions?: { code?: string } }[]
}

/**
 * Asks, again where no answer came. Without an `idempotencyKey` only queries may be asked so: give each mutation a key, and keep
 * it with what you want done until the answer is there. Throws where the request is refused.
 */
export async function ask<Data, Variables>(
  { address, key }: Service,
  document: TadaDocumentNode<Data, Variables>,
  variables: Variables,
  idempotencyKey?: string,
): Promise<Data> {
  const body = JSON.stringify({ query: print(document), variables })
  const headers = {
    ...{ 'content-type': 'application/json', authorization: `Bearer ${key}` },
    ...(idempotencyKey === undefined ? {} : { 'idempotency-key': `"${idempotencyKey}"` }),
  }
  for (let attempt = 1; ; attempt += 1) {
    const response = await fetch(`${address}/graphql`, { method: 'POST', headers, body }).catch(() => undefined)
    const text = await response?.text().catch(() => undefined)
    const answer: Answer<Data> = text?.startsWith('{') ? JSON.parse(text) : {}
    const [error] = answer.errors ?? []
    if (answer.data && !error) return answer.data
    const isWorkedOn = error?.extensions?.code === 'IDEMPOTENT_IN_PROGRESS'
    const isLost = text === undefined || AGAIN.has(response?.status ?? 0) || isWorkedOn
    if (!isLost || attempt === ATTEMPTS) throw new Error(error?.message ?? `The server answered ${response?.status}.`)
    await wait(1000 * Number(response?.headers.get('retry-after') ?? 1))
  }
}
