// A brewery with a webhook whose receiver a test holds in its hands, and what waits to be sent to it.
import { createServer } from 'node:http'
import { setTimeout as wait } from 'node:timers/promises'
import { z } from 'zod'
import { inTransaction } from '../../../src/database/transaction.ts'
import { jobsOf } from '../../../src/jobs/kinds.ts'
import { askToSend } from '../../../src/resolvers/webhooks/ask-to-send.ts'
import type { TestDatabase } from '../../support/database.ts'

const messageShape = z.object({ data: z.object({ revision: z.int(), externalRef: z.string() }) })

/** What came: about which thing, and of which revision. */
export interface Heard {
  thing: string
  revision: number
}

/** Listens, with the distributor `d` and its webhook `w` in the database; `close` ends all. */
export async function openReceiver({ client, clock }: TestDatabase) {
  const heard: Heard[] = []
  const faults: unknown[] = []
  /** The status that is answered, or how long one waits for it. */
  const answers = { statusOf: async (_heard: Heard): Promise<number> => 204 }
  const server = createServer(async (request, response) => {
    const parts: Buffer[] = []
    for await (const part of request) parts.push(Buffer.from(part))
    const { data } = messageShape.parse(JSON.parse(Buffer.concat(parts).toString('utf8')))
    const message = { thing: data.externalRef, revision: data.revision }
    heard.push(message)
    response.writeHead(await answers.statusOf(message)).end()
  })
  await new Promise<void>((listening) => server.listen(0, '127.0.0.1', listening))
  const { port } = z.object({ port: z.number() }).parse(server.address())
  await client.distributor.create({ data: { id: 'd', name: 'd', timeZone: 'Etc/UTC' } })

  const runners: ReturnType<typeof jobsOf>[] = []
  /** The jobs of another process. */
  const runner = () => {
    const services = { client, clock, onFault: (error: unknown) => faults.push(error) }
    const made = jobsOf(services, { planningThreads: 0, webhookPrivateAddresses: true })
    runners.push(made)
    return made
  }
  /** Begins anew: with a webhook that is to be sent nothing. */
  const reset = async () => {
    await Promise.all(runners.splice(0).map((each) => each.stop()))
    await client.job.deleteMany()
    await client.webhook.deleteMany()
    const address = { url: `http://127.0.0.1:${port}/`, kinds: ['ORDER_PLACED'], reads: ['Order'] }
    await client.webhook.create({
      data: { distributorId: 'd', id: 'w', ...address, secret: 'whsec_c2VjcmV0', createdAt: clock.now() },
    })
    heard.length = 0
    answers.statusOf = async () => 204
  }
  /** Lets `count` messages wait, about so many things in turn, whose names begin with `name`; asks for the job. */
  const letWait = async (name: string, count: number, things: number) => {
    const at = clock.now()
    await inTransaction(client, async (tx) => {
      await tx.$executeRaw`
        INSERT INTO "WebhookDelivery" ("distributorId", "id", "webhookId", "kind", "revision", "number", "entityType", "entityId",
          "externalRef", "isNew", "at", "nextAt")
        SELECT 'd', gen_random_uuid()::text, 'w', 'ORDER_PLACED', i, 1, 'Order', ${name} || i % ${things}::int,
          ${name} || i % ${things}::int, true, ${at}::timestamptz, ${at}::timestamptz
        FROM generate_series(1, ${count}::int) i ORDER BY i`
      await askToSend(tx, 'd', 'w', at)
    })
  }
  /** Waits until so many have come. */
  const came = async (count: number) => {
    while (heard.length < count) await wait(5)
  }
  const close = async () => {
    await Promise.all(runners.splice(0).map((each) => each.stop()))
    server.closeAllConnections()
    server.close()
  }
  return { heard, faults, answers, runner, reset, letWait, came, close }
}

/** What came that is older than what had come before about its thing. */
export function outOfOrder(heard: readonly Heard[]): Heard[] {
  const last = new Map<string, number>()
  return heard.filter(({ thing, revision }) => {
    const before = last.get(thing) ?? 0
    last.set(thing, Math.max(before, revision))
    return revision < before
  })
}
