// What is being solved beside the requests: drafts and what-ifs. No more at once than the machine has processors to spare,
// and a short one beside them; the rest waits its turn. How far each is stands in its row, for any server to read.
import { availableParallelism } from 'node:os'
import { planWithBound } from '../../solver/plan-with-bound.ts'
import { type LeaveQueue, SearchQueue } from './search-queue.ts'

/** Why work was given up. */
export class ServerStopped extends Error {
  constructor() {
    super('The server was stopped.')
    this.name = 'ServerStopped'
  }
}

/** A draft was discarded while it was being solved. */
export class DraftDiscarded extends Error {
  constructor() {
    super('The draft was discarded.')
    this.name = 'DraftDiscarded'
  }
}

/** A search that is asked for. */
export interface AskedSearch {
  /** About how long it will take. */
  seconds: number
  /** The plan that it is for, by which it can be discarded. Absent: it cannot be. */
  planId?: string
}

export class Drafts {
  /** How a problem is planned. */
  readonly plan: typeof planWithBound
  readonly #queue: SearchQueue
  readonly #stopped = new AbortController()
  readonly #begun = new Set<Promise<void>>()
  readonly #discarded = new Map<string, AbortController>()

  /**
   * `most` searches run at once, and a short one beside them (`SearchQueue`); further ones wait their turn. `plan` is for tests
   * that want no threads.
   */
  constructor(most = Math.max(1, availableParallelism() - 1), plan = planWithBound) {
    this.#queue = new SearchQueue(most, () => performance.now() / 1000)
    this.plan = plan
  }

  /** Does work in the background; `onFault` gets what it throws. Answers at once. */
  begin(work: () => Promise<void>, onFault: (error: unknown) => void): void {
    const done = work()
      .catch(onFault)
      .finally(() => this.#begun.delete(done))
    this.#begun.add(done)
  }

  /**
   * Runs one search, now or when it is its turn. Rejects with `ServerStopped` where the server stops before it is done, and with
   * `DraftDiscarded` where it is given up.
   */
  async turn<Result>(
    { seconds, planId = '' }: AskedSearch,
    search: (signal: AbortSignal) => Promise<Result>,
  ): Promise<Result> {
    const discarded = new AbortController()
    if (planId !== '') this.#discarded.set(planId, discarded)
    const signal = AbortSignal.any([this.#stopped.signal, discarded.signal])
    let leave: LeaveQueue | undefined
    try {
      await new Promise<void>((resolve, reject) => {
        signal.throwIfAborted()
        signal.addEventListener('abort', () => reject(signal.reason), { once: true })
        leave = this.#queue.enter(seconds, resolve)
      })
      signal.throwIfAborted()
      return await search(signal)
    } finally {
      leave?.()
      this.#discarded.delete(planId)
    }
  }

  /** Gives up the search for a plan that was discarded, if this process has one; whether it waits or runs. */
  discard(planId: string): void {
    this.#discarded.get(planId)?.abort(new DraftDiscarded())
  }

  /** Waits until nothing is being solved. */
  async settled(): Promise<void> {
    while (this.#begun.size > 0) await Promise.all(this.#begun)
  }

  /** Gives up what is being solved and what waits; their rows say so. */
  async stop(): Promise<void> {
    this.#stopped.abort(new ServerStopped())
    await this.settled()
  }
}
