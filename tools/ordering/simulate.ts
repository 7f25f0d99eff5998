// An ordering system beside a brewery: it loses answers, repeats, follows from its last cursor and gets its webhooks twice and late, while
// servers and workers are killed. At the end all sides must agree.
import { setTimeout as wait } from 'node:timers/promises'
import { z } from 'zod'
import { randomFrom } from '../../seeds/random.ts'
import { Follower, gapsIn } from './follower.ts'
import type { House } from './house.ts'
import { OrderingSystem } from './ordering-system.ts'
import { type Book, differences, linesOf, ORDERS, orderShape } from './orders.ts'
import { faultsOf, Receiver } from './receiver.ts'
import { Sender } from './sender.ts'

const KINDS = ['ORDER_PLACED', 'ORDER_AMENDED', 'ORDER_CANCELLED']
const REGISTER = `mutation ($input: RegisterWebhookInput!) { registerWebhook(input: $input) {
  ... on WebhookSecretPayload { secret } } }`

/** Milliseconds in which the last webhooks have come: a lease of half a minute, and a second attempt. */
const LAST_WEBHOOKS = 120_000

export interface Simulation {
  operations: number
  writers: number
  seed: number
  /** After so many operations a process is killed, again and again; 0: none is. */
  killEvery: number
}

export interface Simulated {
  /** What must not be; empty: all sides agree. */
  faults: string[]
  /** Figures to print. */
  figures: Record<string, number>
}

/** Runs it. The processes of the house run on. */
export async function simulate(house: House, { operations, writers, seed, killEvery }: Simulation): Promise<Simulated> {
  const random = randomFrom(seed)
  const sender = new Sender(house.servers(), random.fork('sender'))
  const follower = new Follower(sender, random.fork('follower'))
  const receiver = new Receiver(random.fork('receiver'))
  const system = new OrderingSystem(sender, house.wanted)
  const kills = random.fork('kills')
  try {
    const url = await receiver.listen()
    receiver.expect(await registered(sender, url))
    const before = await ordersOf(sender)
    const revision = await follower.begin()
    const following = follower.follow()
    const begun = performance.now()
    await system.run(operations, writers, random, (done) => {
      if (killEvery > 0 && done % killEvery === 0) house.killOne(kills)
    })
    const seconds = (performance.now() - begun) / 1000
    await house.whole()
    follower.end()
    await following
    const expected = follower.entries.flatMap(({ kind, ...entry }) =>
      KINDS.includes(kind) ? [{ type: kind, ...entry }] : [],
    )
    await arrived(receiver, expected.length)
    const server = new Map([...(await ordersOf(sender))].filter(([reference]) => !before.has(reference)))
    const placed = expected.filter(({ type }) => type === 'ORDER_PLACED').length
    return {
      faults: [
        ...differences('the book of the ordering system', system.book, server),
        ...differences('the copy that follows the feed', follower.copy, server),
        ...gapsIn(follower.entries, revision),
        ...faultsOf(receiver.received, expected),
        ...receiver.faults,
        ...sender.differing,
        ...countFaults(placed, system.counts.placeOrder, 'orders are placed by the feed'),
        ...countFaults(expected.length, operations, 'acts are in the feed'),
      ],
      figures: {
        ...{ operations, ...system.counts, lines: linesOf(server).length, seconds: Math.round(seconds) },
        ...{ ...sender.counts, kills: house.kills, feedEntries: follower.entries.length },
        ...{ followerRestarts: follower.restarts, webhooks: receiver.received.length, webhooksAgain: receiver.again },
      },
    }
  } finally {
    follower.end()
    receiver.close()
  }
}

function countFaults(count: number, wanted: number, what: string): string[] {
  return count === wanted ? [] : [`${count} ${what}, and not ${wanted}`]
}

/** Registers the receiver; answers the secret. */
async function registered(sender: Sender, url: string): Promise<string> {
  const answer = await sender.ask(REGISTER, { input: { url, kinds: KINDS } })
  return z.object({ registerWebhook: z.object({ secret: z.string() }) }).parse(answer).registerWebhook.secret
}

/** Waits for so many messages, at most as long as they may take. */
async function arrived(receiver: Receiver, count: number): Promise<void> {
  const until = performance.now() + LAST_WEBHOOKS
  while (receiver.received.length < count && performance.now() < until) await wait(200)
}

/** All orders that the server has. */
async function ordersOf(sender: Sender): Promise<Book> {
  const shape = z.object({
    orders: z.object({
      edges: z.array(z.object({ node: orderShape })),
      pageInfo: z.object({ hasNextPage: z.boolean(), endCursor: z.string().nullable() }),
    }),
  })
  const book: Book = new Map()
  for (let after: string | null = null; ; ) {
    const { orders }: z.output<typeof shape> = shape.parse(await sender.ask(ORDERS, { after }))
    for (const { node } of orders.edges) book.set(node.externalRef ?? `number ${node.number}`, node)
    if (!orders.pageInfo.hasNextPage) return book
    after = orders.pageInfo.endCursor
  }
}
