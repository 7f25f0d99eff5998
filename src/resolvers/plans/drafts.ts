// What is being solved beside the requests: drafts and what-ifs. No more at once than the machine has processors to spare;
// the rest waits its turn. How far each is stands in its row, for any server to read.
import { availableParallelism } from 'node:os'
import { planWithBound } from '../../solver/plan-with-bound.ts'

/** Why work was given up. */
export class ServerStopped extends Error {
  constructor() {
    super('The server was stopped.')
    this.name = 'ServerStopped'
  }
}

export class Drafts {
  /** How a problem is planned. */
  readonly plan: typeof planWithBound
  readonly #most: number
  readonly #stopped = new AbortController()
  readonly #begun = new Set<Promise<void>>()
  readonly #waiting: (() => void)[] = []
  #solving = 0

  /** `most` searches run at once; further ones wait their turn. `plan` is for tests that want no threads. */
  constructor(most = Math.max(1, availableParallelism() - 1), plan = planWithBound) {
    this.#most = most
    this.plan = plan
  }

  /** Does work aside; `onFault` hears what it throws. Answers at once. */
  begin(work: () => Promise<void>, onFault: (error: unknown) => void): void {
    const done = work()
      .catch(onFault)
      .finally(() => this.#begun.delete(done))
    this.#begun.add(done)
  }

  /** Runs one search, now or when it is its turn. Rejects with `ServerStopped` where the server stops before it is done. */
  async turn<Result>(search: (signal: AbortSignal) => Promise<Result>): Promise<Result> {
    const { signal } = this.#stopped
    if (this.#solving >= this.#most) await new Promise<void>((resolve) => this.#waiting.push(resolve))
    else this.#solving += 1
    try {
      signal.throwIfAborted()
      return await search(signal)
    } finally {
      const next = this.#waiting.shift()
      if (next) next()
      else this.#solving -= 1
    }
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
