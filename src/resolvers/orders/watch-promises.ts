// Promises kept in view: who listens hears of each that is at risk, is safe again or is kept on another day, as the change log
// says it, whatever server wrote it.
import { setTimeout as wait } from 'node:timers/promises'
import { onCommit } from '../../database/commits.ts'
import type { LocalDate } from '../../planner/documents/index.ts'
import type { Actor } from '../actor.ts'
import { AT_RISK, type Cause, DAY_MOVED, PROMISE_EVENTS, promiseEventShape } from './note-risks.ts'
import type { Risk } from './risks.ts'

/** Milliseconds between two looks at the revision, where this process itself has written nothing. */
const BETWEEN_LOOKS = 1000

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
 * What becomes of the distributor's promises from now on. One query a second, at most, while somebody listens; stop listening
 * with `return`.
 */
export async function watchPromises(actor: Actor): Promise<AsyncIterableIterator<PromiseNews>> {
  const { client, distributorId } = actor
  const revisionNow = async () =>
    (await client.distributor.findUniqueOrThrow({ where: { id: distributorId }, select: { revision: true } })).revision
  const from = await revisionNow()
  const stopped = new AbortController()

  async function* news(): AsyncGenerator<PromiseNews> {
    let seen = from
    while (!stopped.signal.aborted) {
      const heard = nextCommit(actor, stopped.signal)
      const revision = await revisionNow()
      if (revision > seen) yield* await newsBetween(actor, seen, revision)
      seen = revision
      await heard
    }
  }

  const each = news()
  const iterator: AsyncIterableIterator<PromiseNews> = {
    next: () => each.next(),
    // A generator that waits would hear of its end only at its next news.
    return: () => {
      stopped.abort()
      return each.return(undefined)
    },
    [Symbol.asyncIterator]: () => iterator,
  }
  return iterator
}

/** Ends at the next commit of this process, after a while, or when it is stopped. */
async function nextCommit({ client, distributorId }: Actor, stopped: AbortSignal): Promise<void> {
  const woken = new AbortController()
  const deaf = onCommit(client, distributorId, () => woken.abort())
  try {
    await wait(BETWEEN_LOOKS, undefined, { signal: AbortSignal.any([woken.signal, stopped]), ref: false })
  } catch (error) {
    if (!woken.signal.aborted && !stopped.aborted) throw error
  } finally {
    deaf()
  }
}

async function newsBetween({ client, distributorId }: Actor, after: number, until: number): Promise<PromiseNews[]> {
  const entries = await client.changeLogEntry.findMany({
    where: { distributorId, revision: { gt: after, lte: until }, kind: { in: [...PROMISE_EVENTS] } },
    orderBy: [{ revision: 'asc' }, { n: 'asc' }],
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
