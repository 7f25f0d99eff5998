// Whose turn it is: searches wait for a place, short ones not behind long ones, and none for ever.

/** A search that takes no longer, in seconds, may use the place that is kept for short ones. */
export const SHORT_SECONDS = 10

/** One search that waits or runs. */
interface QueuedSearch {
  seconds: number
  /** When it would be done, in seconds, had it begun at once: a search that is asked for later and takes longer comes after it. */
  due: number
  begin: () => void
}

/** Ends a search, or takes it out of the queue; called once. */
export type LeaveQueue = () => void

/**
 * `places` searches run at once, and one more that is short. Of those that wait the one comes first that would be done first
 * had each begun when it was asked for: so short ones overtake long ones, but none that waits for as long as it takes is
 * overtaken by anything that is asked for afterwards.
 */
export class SearchQueue {
  readonly #places: number
  readonly #now: () => number
  readonly #waiting: QueuedSearch[] = []
  readonly #running = new Set<QueuedSearch>()

  /** `now` is a clock in seconds. */
  constructor(places: number, now: () => number) {
    this.#places = places
    this.#now = now
  }

  /**
   * Has `begin` called when it is the turn of a search that takes about so many seconds: at once where there is a place. Answers
   * how its place is given back, or its turn given up before it came.
   */
  enter(seconds: number, begin: () => void): LeaveQueue {
    const entry = { seconds, due: this.#now() + seconds, begin }
    const at = this.#waiting.findIndex(({ due }) => due > entry.due)
    this.#waiting.splice(at < 0 ? this.#waiting.length : at, 0, entry)
    this.#fill()
    return () => {
      const waits = this.#waiting.indexOf(entry)
      if (waits >= 0) this.#waiting.splice(waits, 1)
      if (this.#running.delete(entry)) this.#fill()
    }
  }

  #fill(): void {
    for (let next = this.#next(); next; next = this.#next()) {
      this.#waiting.splice(this.#waiting.indexOf(next), 1)
      this.#running.add(next)
      next.begin()
    }
  }

  /** The searches that may begin now. */
  #next(): QueuedSearch | undefined {
    const free = this.#places + 1 - this.#running.size
    if (free <= 0) return undefined
    const long = [...this.#running].filter((entry) => !isShort(entry)).length
    return long < this.#places ? this.#waiting[0] : this.#waiting.find(isShort)
  }
}

function isShort({ seconds }: QueuedSearch): boolean {
  return seconds <= SHORT_SECONDS
}
