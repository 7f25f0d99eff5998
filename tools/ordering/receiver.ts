// Receives webhooks, as a slow and forgetful system does: some messages it takes but answers late, or with a fault, so that they come twice.
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import { setTimeout as wait } from 'node:timers/promises'
import { Webhook } from 'standardwebhooks'
import { z } from 'zod'
import type { Random } from '../../seeds/random.ts'

const FAILS = 0.1
const LATE = 0.3

const messageShape = z.object({
  type: z.string(),
  data: z.object({ revision: z.int(), n: z.int(), externalRef: z.string().nullable(), afterGap: z.boolean() }),
})

/** A message, the first time that it came. */
export interface Received {
  type: string
  revision: number
  n: number
  externalRef: string | null
}

export class Receiver {
  /** Messages in the order in which they came first. */
  readonly received: Received[] = []
  readonly faults: string[] = []
  /** How often a message came that was there before. */
  again = 0
  readonly #random: Random
  readonly #ids = new Set<string>()
  readonly #server = createServer((request, response) => void this.#take(request, response))
  #secret = ''

  constructor(random: Random) {
    this.#random = random
  }

  /** Begins to listen; answers the address. */
  async listen(): Promise<string> {
    await new Promise<void>((listening) => this.#server.listen(0, '127.0.0.1', listening))
    const { port } = z.object({ port: z.number() }).parse(this.#server.address())
    return `http://127.0.0.1:${port}/`
  }

  /** The secret that the messages are signed with. */
  expect(secret: string): void {
    this.#secret = secret
  }

  close(): void {
    this.#server.closeAllConnections()
    this.#server.close()
  }

  async #take(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const chunks: Buffer[] = []
    for await (const chunk of request) chunks.push(Buffer.from(chunk))
    const body = Buffer.concat(chunks).toString('utf8')
    const header = (name: string) => String(request.headers[name])
    const id = header('webhook-id')
    const isNew = !this.#ids.has(id)
    try {
      const signed = { 'webhook-id': id, 'webhook-timestamp': header('webhook-timestamp') }
      new Webhook(this.#secret).verify(body, { ...signed, 'webhook-signature': header('webhook-signature') })
      this.#ids.add(id)
      const { type, data } = messageShape.parse(JSON.parse(body))
      if (data.afterGap) this.faults.push(`${id} follows a gap`)
      if (isNew) this.received.push({ type, revision: data.revision, n: data.n, externalRef: data.externalRef })
      else this.again += 1
    } catch (error) {
      this.faults.push(`${id}: ${error}`)
    }
    if (this.#random.chance(LATE)) await wait(200 * this.#random.unit())
    response.writeHead(isNew && this.#random.chance(FAILS) ? 500 : 204).end()
  }
}

/** What is wrong with messages about things that must come in the order of commit for each, and be just these. */
export function faultsOf(received: readonly Received[], expected: readonly Received[]): string[] {
  const nameOf = ({ type, revision, n, externalRef }: Received) => `${type} ${externalRef} ${revision}.${n}`
  const [got, wanted] = [new Set(received.map(nameOf)), new Set(expected.map(nameOf))]
  const last = new Map<string | null, number>()
  return [
    ...(got.size < received.length ? [`${received.length - got.size} messages have come under two ids`] : []),
    ...[...wanted].filter((name) => !got.has(name)).map((name) => `no webhook of ${name}`),
    ...[...got].filter((name) => !wanted.has(name)).map((name) => `a webhook of ${name}, which the feed does not have`),
    ...received.flatMap((message) => {
      const before = last.get(message.externalRef) ?? 0
      last.set(message.externalRef, message.revision)
      return message.revision < before ? [`${nameOf(message)} came after one of revision ${before}`] : []
    }),
  ]
}
