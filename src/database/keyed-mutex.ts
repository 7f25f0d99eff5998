// Work under one key runs one after the other. Writers wait here before they take a connection: writers that wait for the lock
// of a distributor in the database would hold every connection of the pool, and no reader could get one.

export class KeyedMutex {
  readonly #last = new Map<string, Promise<void>>()

  /** Runs the work when all work that came before it under the same key has ended, by success or failure. Answers its result. */
  run<Result>(key: string, work: () => Promise<Result>): Promise<Result> {
    const before = this.#last.get(key)
    const mine = before ? before.then(work) : work()
    const over = mine.then(
      () => {},
      () => {},
    )
    this.#last.set(key, over)
    void over.then(() => {
      if (this.#last.get(key) === over) this.#last.delete(key)
    })
    return mine
  }
}
