// Promises kept in view: who listens hears of each that is at risk, is safe again or is kept on another day, as the change log
// says it, whatever server wrote it. The log is read once for all who listen.
import type { PrismaClient } from '../../database/client.ts'
import { isSameVersion, stillHas, type Version } from '../../database/version.ts'
import { Conflict } from '../../errors.ts'
import type { LocalDate } from '../../planner/documents/index.ts'
import type { Actor } from '../actor.ts'
import { Heard } from '../listening/heard.ts'
import { joinPulse, type Sight } from '../listening/pulse.ts'
import { AT_RISK, type Cause, DAY_MOVED, PROMISE_EVENTS, promiseEventShape } from './note-risks.ts'
import type { Risk } from './risks.ts'

/** Most news that are read of the past, or that wait for one who listens slowly. */
export const MOST_WAITING = 1000

/** How a promise changed. */
export interface PromiseNews extends Risk {
  lineId: string
  kind: 'AT_RISK' | 'SAFE_AGAIN' | 'DAY_MOVED'
  atRisk: boolean
  /** The day before, where the day of a kept promise has moved. */
  expectedBefore?: LocalDate
  cause: Cause
  /** The revision that the change made. */
  revision: number
  at: Date
}

/**
 * What becomes of the distributor's promises from now on, or since the revision `after`, without a gap. Stop listening with `return`.
 * Throws `Conflict` where what happened since cannot be said whole: the revision is none of the records, or too long ago; the same
 * ends what one hears where the records lose commits or too much waits.
 */
export async function watchPromises(
  { client, distributorId }: Actor,
  after?: number | null,
): Promise<AsyncIterableIterator<PromiseNews>> {
  const feed = feedOf(client, distributorId)
  const subscriber = feed.join()
  try {
    // What is committed after the feed has looked first is heard; what was before is read here.
    await feed.begun
    const { revision: now } = await client.distributor.findUniqueOrThrow({
      where: { id: distributorId },
      select: { revision: true },
    })
    subscriber.begin(now, await missedNews(client, distributorId, after ?? now, now))
    return subscriber.heard
  } catch (error) {
    await subscriber.heard.return()
    throw error
  }
}

/** The news after a revision that somebody has seen, until another. */
async function missedNews(
  client: PrismaClient,
  distributorId: string,
  after: number,
  until: number,
): Promise<PromiseNews[]> {
  if (after === until) return []
  if (after < 0 || after > until) throw newsGone()
  // The log has no gaps: where it lacks the next revision it begins later.
  const next = await client.changeLogEntry.findFirst({ where: { distributorId, revision: after + 1 } })
  if (!next) throw newsGone()
  const news = await newsBetween(client, distributorId, after, until)
  if (news.length > MOST_WAITING) throw newsGone()
  return news
}

function newsGone(): Conflict {
  return new Conflict('NEWS_GONE')
}

/** One who listens. News that come before its past is read are held back. */
class Subscriber {
  readonly heard: Heard<PromiseNews>
  #held: PromiseNews[] | undefined = []
  #from = 0

  constructor(onEnd: (subscriber: Subscriber) => void) {
    this.heard = new Heard(() => onEnd(this))
  }

  /** Begins with what was missed until the revision `from`. */
  begin(from: number, missed: readonly PromiseNews[]): void {
    const held = this.#held ?? []
    this.#held = undefined
    this.#from = from
    this.heard.add(...missed)
    this.take(held)
  }

  take(news: readonly PromiseNews[]): void {
    if (this.#held) {
      this.#held.push(...news)
      return
    }
    this.heard.add(...news.filter(({ revision }) => revision > this.#from))
    if (this.heard.waiting > MOST_WAITING) this.heard.fail(newsGone())
  }
}

/** The news of a distributor for all who listen, while somebody does. */
class Feed {
  /** When the first look is over. */
  readonly begun: Promise<void>
  readonly #client: PrismaClient
  readonly #distributorId: string
  readonly #subscribers = new Set<Subscriber>()
  readonly #leave: () => void
  readonly #onEnd: () => void
  #seen: Version | undefined

  constructor(client: PrismaClient, distributorId: string, onEnd: () => void) {
    this.#client = client
    this.#distributorId = distributorId
    this.#onEnd = onEnd
    let begin: () => void = () => {}
    this.begun = new Promise((resolve) => {
      begin = resolve
    })
    this.#leave = joinPulse(client, distributorId, {
      wanted: {},
      hear: async (sight) => {
        await this.#follow(sight)
        begin()
      },
      fail: (error) => {
        begin()
        this.#fail(error)
      },
    })
  }

  join(): Subscriber {
    const subscriber = new Subscriber((gone) => {
      this.#subscribers.delete(gone)
      if (this.#subscribers.size === 0) this.#stop()
    })
    this.#subscribers.add(subscriber)
    return subscriber
  }

  async #follow({ revision, epoch }: Sight): Promise<void> {
    const [seen, now] = [this.#seen, { revision, epoch }]
    if (seen && isSameVersion(seen, now)) return
    if (seen) {
      const areLost = revision <= seen.revision || !(await stillHas(this.#client, this.#distributorId, seen))
      if (areLost) this.#fail(newsGone())
      else {
        const news = await newsBetween(this.#client, this.#distributorId, seen.revision, revision)
        for (const subscriber of this.#subscribers) subscriber.take(news)
      }
    }
    this.#seen = now
  }

  #fail(error: unknown): void {
    for (const { heard } of [...this.#subscribers]) heard.fail(error)
    this.#stop()
  }

  #stop(): void {
    this.#leave()
    this.#onEnd()
  }
}

const feeds = new WeakMap<PrismaClient, Map<string, Feed>>()

function feedOf(client: PrismaClient, distributorId: string): Feed {
  const byDistributor = feeds.get(client) ?? new Map<string, Feed>()
  feeds.set(client, byDistributor)
  const known = byDistributor.get(distributorId)
  if (known) return known
  const feed = new Feed(client, distributorId, () => {
    if (byDistributor.get(distributorId) === feed) byDistributor.delete(distributorId)
  })
  byDistributor.set(distributorId, feed)
  return feed
}

/** The news after a revision, until another; one more than the most that may wait, at most. */
async function newsBetween(
  client: PrismaClient,
  distributorId: string,
  after: number,
  until: number,
): Promise<PromiseNews[]> {
  const entries = await client.changeLogEntry.findMany({
    where: { distributorId, revision: { gt: after, lte: until }, kind: { in: [...PROMISE_EVENTS] } },
    orderBy: [{ revision: 'asc' }, { n: 'asc' }],
    take: MOST_WAITING + 1,
  })
  return entries.map(({ kind, entityId, revision, at, after: news }) => ({
    ...promiseEventShape.parse(news),
    lineId: entityId,
    kind: kind === AT_RISK ? 'AT_RISK' : kind === DAY_MOVED ? 'DAY_MOVED' : 'SAFE_AGAIN',
    atRisk: kind === AT_RISK,
    revision,
    at,
  }))
}
