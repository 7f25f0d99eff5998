// Who writes waits in a line of the distributor: so many may wait, the next one hears at once when to come again. So the writers of one
// distributor do not fill the memory, and none waits for longer than its client does.
import { Busy } from '../errors.ts'
import { secondsUntilTurn } from './retry-after.ts'

/** Most writers of one distributor that have no answer yet, where nothing else is set. */
export const MOST_WRITERS = 100

interface Line {
  /** Those that have no answer yet. */
  unanswered: number
  /** Milliseconds that the last one took, those before it included. */
  lastTook: number
}

export class WaitingWriters {
  readonly #most: number
  readonly #lines = new Map<string, Line>()

  constructor(most = MOST_WRITERS) {
    this.#most = most
  }

  /** Runs a write of a distributor, and answers as it does. Throws `Busy` before it begins where too many have no answer yet. */
  async run<Answer>(distributorId: string, write: () => Answer | Promise<Answer>): Promise<Answer> {
    const line = this.#lines.get(distributorId) ?? { unanswered: 0, lastTook: 0 }
    // All that wait are served about when the last of them is.
    if (line.unanswered >= this.#most) throw new Busy(secondsUntilTurn(1, 1, line.lastTook))
    this.#lines.set(distributorId, line)
    line.unanswered += 1
    const began = performance.now()
    try {
      return await write()
    } finally {
      line.lastTook = performance.now() - began
      line.unanswered -= 1
      if (line.unanswered === 0) this.#lines.delete(distributorId)
    }
  }
}
