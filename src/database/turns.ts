// Work that only one may do at a time takes turns here, before it takes a connection: those who wait for the lock of a
// distributor would else hold every connection of the pool, and nobody could read.

export class Turns {
  readonly #last = new Map<string, Promise<void>>()

  /** Does the work when all that came before under the same key is done, however that ended. Answers what it answers. */
  take<Result>(key: string, work: () => Promise<Result>): Promise<Result> {
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
