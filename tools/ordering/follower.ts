// Follows the feed of changes and keeps a copy of the orders. Now and then it forgets the page that it has just taken over, and begins again from the
// cursor that it stored: as a program does that is killed.
import { setTimeout as wait } from 'node:timers/promises'
import { z } from 'zod'
import type { Random } from '../../seeds/random.ts'
import { type Book, CHANGES, orderShape } from './orders.ts'
import type { Sender } from './sender.ts'

const FORGETS = 0.25

const changeShape = z.object({
  ...{ revision: z.int(), n: z.int(), kind: z.string(), entityType: z.string(), externalRef: z.string().nullable() },
  entity: z.looseObject({}).nullable(),
})
const pageShape = z.object({
  changes: z.object({
    edges: z.array(z.object({ node: changeShape })),
    position: z.string(),
    pageInfo: z.object({ hasNextPage: z.boolean() }),
  }),
})
const beginShape = z.object({
  snapshot: z.object({ changesAfter: z.string() }),
  distributor: z.object({ revision: z.int() }),
})

/** One entry of the feed. */
export type FeedEntry = Pick<z.output<typeof changeShape>, 'revision' | 'n' | 'kind' | 'externalRef'>

export class Follower {
  readonly copy: Book = new Map()
  /** What the feed said up to the stored cursor, each entry once. */
  readonly entries: FeedEntry[] = []
  restarts = 0
  readonly #sender: Sender
  readonly #random: Random
  #cursor = ''
  #ended = false

  constructor(sender: Sender, random: Random) {
    this.#sender = sender
    this.#random = random
  }

  /** Begins where the records stand now; answers their revision. */
  async begin(): Promise<number> {
    const { snapshot, distributor } = beginShape.parse(
      await this.#sender.ask('{ snapshot(first: 1) { changesAfter } distributor { revision } }'),
    )
    this.#cursor = snapshot.changesAfter
    return distributor.revision
  }

  /** Follows until it is asked to end, and then up to the end of the feed. */
  async follow(): Promise<void> {
    for (;;) {
      const isLast = this.#ended
      const hasMore = await this.#readPage(isLast)
      if (isLast && !hasMore) return
      if (!hasMore) await wait(100)
    }
  }

  /** Lets `follow` end. */
  end(): void {
    this.#ended = true
  }

  /** Whether there is more to read. */
  async #readPage(isLast: boolean): Promise<boolean> {
    const { changes } = pageShape.parse(await this.#sender.ask(CHANGES, { after: this.#cursor }))
    const nodes = changes.edges.map(({ node }) => node)
    for (const { entityType, externalRef, entity } of nodes)
      if (entityType === 'Order' && externalRef !== null) this.copy.set(externalRef, orderShape.parse(entity))
    if (nodes.length > 0 && !isLast && this.#random.chance(FORGETS)) {
      this.restarts += 1
      return true
    }
    this.#cursor = changes.position
    this.entries.push(...nodes.map(({ revision, n, kind, externalRef }) => ({ revision, n, kind, externalRef })))
    return changes.pageInfo.hasNextPage
  }
}

/** What is wrong with entries that must follow a revision without a gap, in the order of commit. */
export function gapsIn(entries: readonly FeedEntry[], revision: number): string[] {
  let last = { revision, n: Number.POSITIVE_INFINITY }
  return entries.flatMap(({ revision, n }) => {
    const before = last
    last = { revision, n }
    const isNext = revision === before.revision ? n === before.n + 1 : revision === before.revision + 1 && n === 1
    return isNext ? [] : [`the feed goes from ${before.revision}.${before.n} to ${revision}.${n}`]
  })
}
