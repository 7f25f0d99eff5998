// Work under one key runs one after the other. Writers wait here before they take a connection: writers that wait for the lock
// of a distributor in the database would hold every connection of the pool, and no reader could get one.

interface Waiting {
  /** Does the work; never rejects. */
  begin: () => Promise<void>
  refuse: (error: unknown) => void
}

export class KeyedMutex {
  /** What waits under each key under which work is going on, in the order in which it came. */
  readonly #waiting = new Map<string, Waiting[]>()

  /** Runs the work when all work that came before it under the same key has ended, by success or failure. Answers its result. */
  run<Result>(key: string, work: () => Promise<Result>): Promise<Result> {
    return new Promise((resolve, reject) => {
      const mine = { begin: () => work().then(resolve, reject), refuse: reject }
      const waiting = this.#waiting.get(key)
      if (waiting) waiting.push(mine)
      else void this.#runAll(key, mine)
    })
  }

  /** Refuses with `error` all work that waits under the key; what is going on goes on. */
  refuseWaiting(key: string, error: unknown): void {
    for (const { refuse } of this.#waiting.get(key)?.splice(0) ?? []) refuse(error)
  }

  async #runAll(key: string, first: Waiting): Promise<void> {
    const waiting: Waiting[] = []
    this.#waiting.set(key, waiting)
    for (let next: Waiting | undefined = first; next; next = waiting.shift()) await next.begin()
    this.#waiting.delete(key)
  }
}
