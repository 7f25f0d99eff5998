// Requests that ask the planner something take turns: a few of one distributor at once, so that its questions leave the thread
// to the requests of others in between, and no more wait than are answered soon.
import { Busy } from '../errors.ts'
import { secondsUntilTurn } from './retry-after.ts'

export interface TurnLimits {
  /** Requests of one distributor that ask the planner at once. */
  atOnce: number
  /** Most further ones that wait for their turn. */
  waiting: number
  /** Seconds for which one waits at most. */
  seconds: number
}

/** What holds where nothing else is set. */
export const TURN_LIMITS: TurnLimits = { atOnce: 2, waiting: 20, seconds: 5 }

/** Ends a turn. */
export type EndTurn = () => void

interface Line {
  running: number
  /** Those that wait, in the order in which they came; each begins when it is called. */
  waiting: Set<() => void>
  /** Milliseconds that the last turn took. */
  lastTurn: number
}

export class PlannerTurns {
  readonly #limits: TurnLimits
  readonly #lines = new Map<string, Line>()

  constructor(limits: TurnLimits = TURN_LIMITS) {
    this.#limits = limits
  }

  /** Waits for a turn and answers how it is ended. Throws `Busy` where too many wait already, or its turn did not come in time. */
  take(distributorId: string): Promise<EndTurn> {
    const { atOnce, waiting, seconds } = this.#limits
    const line = this.#lines.get(distributorId) ?? { running: 0, waiting: new Set(), lastTurn: 0 }
    this.#lines.set(distributorId, line)
    if (line.running < atOnce && line.waiting.size === 0) return Promise.resolve(this.#begin(distributorId, line))
    if (line.waiting.size >= waiting) return Promise.reject(this.#busy(line))
    return new Promise((resolve, reject) => {
      const begin = () => {
        line.waiting.delete(begin)
        clearTimeout(late)
        resolve(this.#begin(distributorId, line))
      }
      const late = setTimeout(() => {
        // The thread may have been busy for as long: then the place is free by now.
        if (line.running < atOnce) return begin()
        line.waiting.delete(begin)
        reject(this.#busy(line))
      }, seconds * 1000)
      line.waiting.add(begin)
    })
  }

  #begin(distributorId: string, line: Line): EndTurn {
    line.running += 1
    const began = performance.now()
    let ended = false
    return () => {
      if (ended) return
      ended = true
      line.lastTurn = performance.now() - began
      line.running -= 1
      if (line.running === 0 && line.waiting.size === 0) this.#lines.delete(distributorId)
      // Answers are worked out without waiting for the outside: what has come meanwhile is let in before the next one.
      else setImmediate(() => this.#beginNext(line))
    }
  }

  #beginNext(line: Line): void {
    const [next] = line.waiting
    if (next && line.running < this.#limits.atOnce) next()
  }

  /** Seconds until those that wait have had their turns, estimated from the last one. */
  #busy({ waiting, lastTurn }: Line): Busy {
    return new Busy(secondsUntilTurn(waiting.size + 1, this.#limits.atOnce, lastTurn))
  }
}
