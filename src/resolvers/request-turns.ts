// Queries begin one after the other, distributors in turn, so that one that sends many at once keeps no other waiting for all of them.
// One whose last turn is longest ago goes first. None is refused here, and none waits while no other is to begin.

/** Milliseconds of one answer's work after which others have a turn. */
const SLICE = 10

/** Requests of a distributor that wait, in the order in which they came; each begins when it is called. */
type Line = (() => void)[]

export class RequestTurns {
  /** Lines of distributors that have had no turn in this round: they come before all others. */
  readonly #fresh = new Map<string, Line>()
  /** Lines of those that have had one, which may be empty; the first has the next turn. */
  readonly #served = new Map<string, Line>()
  /** Whether one has begun since the process last looked at what came from outside. */
  #hasBegun = false

  /** Resolves when a request of the distributor may begin, or go on: at once where none waits. How long it then takes is not looked at. */
  take(distributorId: string): Promise<void> {
    if (!this.#hasBegun) {
      this.#begin()
      return Promise.resolve()
    }
    return new Promise((resolve) => {
      const line = this.#fresh.get(distributorId) ?? this.#served.get(distributorId)
      if (line) line.push(resolve)
      else this.#fresh.set(distributorId, [resolve])
    })
  }

  /** The embedded database answers without waiting for the outside: what has come meanwhile is let in before the next one begins. */
  #begin(): void {
    this.#hasBegun = true
    setImmediate(() => {
      this.#hasBegun = false
      this.#beginNext()
    })
  }

  #beginNext(): void {
    const next = this.#next()
    if (!next) return
    const [distributorId, line] = next
    this.#fresh.delete(distributorId)
    this.#served.delete(distributorId)
    this.#served.set(distributorId, line)
    this.#begin()
    line.shift()?.()
  }

  #next(): [string, Line] | undefined {
    const [fresh] = this.#fresh
    if (fresh) return fresh
    for (const served of this.#served) {
      if (served[1].length > 0) return served
      // It has asked for nothing for a round: its next request is fresh.
      this.#served.delete(served[0])
    }
    return undefined
  }
}

/**
 * For an answer that takes long: waits for the distributor's next turn where the last one has lasted for a slice of time.
 * @param now Milliseconds since any instant.
 */
export function slices(
  take: (() => Promise<void>) | undefined,
  now: () => number = () => performance.now(),
): () => Promise<void> {
  let began = now()
  return async () => {
    if (!take || now() - began < SLICE) return
    await take()
    began = now()
  }
}
