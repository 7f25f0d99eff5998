// One thread answers everyone. Work takes turns on it, by lines: what is done for one distributor stands in one line, however many
// requests it sends, so that no other waits for all of them. Work is not stopped: it asks for its turn where it begins and where it
// takes the database, and goes on at once while it has the turn, or where nothing else waits.
import { AsyncLocalStorage } from 'node:async_hooks'
import { setImmediate as nextLook } from 'node:timers/promises'

/** Milliseconds after which a turn is over: another line that waits has its own. */
const TURN = 5

/** The same for a line that has asked for nothing for a round: most of what is asked for now and then is done by then. */
const FIRST_TURN = 30

/** Looks outside for which work may wait for something else, such as a file, and keeps its turn. */
const MOST_RESTS = 3

/** Milliseconds of work after which the process looks at what has come from outside: it cannot know before who waits. */
const UNSEEN = 5

/** Who work is done for. */
export interface Asker {
  /** The name of the line. */
  readonly line: string
}

interface Waiting {
  asker: Asker
  /** Its line when it came: of a request one learns later whose it is. */
  line: string
  go: () => void
  /** Whether what it needs beside the thread is free. */
  isFree: () => boolean
}

/** Work since the process last looked at what has come from outside. */
export class Unseen {
  #since: number | undefined

  /** For how long there has been work, in the units of `now`; 0 at the first call after a look. */
  lasts(now: number): number {
    if (this.#since === undefined) {
      this.#since = now
      setImmediate(() => {
        this.#since = undefined
      })
    }
    return now - this.#since
  }
}

export class ThreadTurns {
  readonly #now: () => number
  /** What waits in each line, in the order in which it came. */
  readonly #waiting = new Map<string, Waiting[]>()
  /** Lines that have had a turn, the one whose last turn is longest ago first. One that asked for nothing for a round is not among them. */
  readonly #served = new Set<string>()
  #turn: { asker: Asker; ends: number; rests: number } | undefined
  readonly #unseen = new Unseen()
  #isLooking = false

  /** @param now Milliseconds since any instant. */
  constructor(now: () => number = () => performance.now()) {
    this.#now = now
  }

  /** Resolves when work for the asker may begin, or go on. `isFree`: what else has to be free then; `lookAgain` says that it may be. */
  take(asker: Asker, isFree: () => boolean = () => true): Promise<void> {
    if (this.#goesOn(asker) && isFree()) return Promise.resolve()
    return new Promise((go) => {
      const { line } = asker
      const waiting = this.#waiting.get(line)
      if (waiting) waiting.push({ asker, line, go, isFree })
      else this.#waiting.set(line, [{ asker, line, go, isFree }])
      this.lookAgain()
    })
  }

  /** The work for the asker is done: another may begin, though its turn is not over. */
  end(asker: Asker): void {
    if (this.#turn?.asker === asker) this.#turn = undefined
  }

  /** Lets the next begin once the process has looked outside. */
  lookAgain(): void {
    if (this.#isLooking || this.#waiting.size === 0) return
    this.#isLooking = true
    setImmediate(() => {
      this.#isLooking = false
      this.#beginNext()
    })
  }

  /** Whether work for the asker need not wait. */
  #goesOn(asker: Asker): boolean {
    const now = this.#now()
    if (this.#unseen.lasts(now) >= UNSEEN) return false
    const turn = this.#turn
    const isOver = !turn || now >= turn.ends
    if (!isOver && turn.asker === asker) {
      turn.rests = 0
      return true
    }
    if (!isOver || this.#waiting.size > 0) return false
    this.#begin(asker, asker.line, now)
    return true
  }

  #begin(asker: Asker, line: string, now: number): void {
    const isServed = this.#served.delete(line)
    this.#served.add(line)
    this.#turn = { asker, ends: now + (isServed ? TURN : FIRST_TURN), rests: 0 }
  }

  #beginNext(): void {
    const now = this.#now()
    const turn = this.#turn
    if (turn && now < turn.ends) {
      const next = (this.#waiting.get(turn.asker.line) ?? []).find(
        ({ asker, isFree }) => asker === turn.asker && isFree(),
      )
      if (next) {
        turn.rests = 0
        this.#go(next)
        return
      }
      turn.rests += 1
      if (turn.rests <= MOST_RESTS) {
        this.lookAgain()
        return
      }
    }
    for (const line of this.#inOrder()) {
      const next = this.#waiting.get(line)?.find(({ isFree }) => isFree())
      if (!next) continue
      this.#begin(next.asker, line, now)
      this.#go(next)
      return
    }
  }

  /** Lines that wait: first those that had no turn in this round. */
  #inOrder(): string[] {
    for (const line of this.#served) if (!this.#waiting.has(line)) this.#served.delete(line)
    const fresh = [...this.#waiting.keys()].filter((line) => !this.#served.has(line))
    return [...fresh, ...this.#served]
  }

  #go(next: Waiting): void {
    const others = this.#waiting.get(next.line)?.filter((each) => each !== next) ?? []
    if (others.length > 0) this.#waiting.set(next.line, others)
    else this.#waiting.delete(next.line)
    this.lookAgain()
    next.go()
  }
}

/** The turns on this thread. */
export const threadTurns = new ThreadTurns()

/** What is done for no request: jobs, housekeeping. */
const OURSELVES: Asker = { line: 'ourselves' }

const askers = new AsyncLocalStorage<Asker>()

/** Does work for `asker`. */
export function workFor<Result>(asker: Asker, work: () => Result): Result {
  return askers.run(asker, work)
}

/** Resolves when it is the turn of what is being done. */
export function nextTurn(isFree?: () => boolean): Promise<void> {
  return threadTurns.take(askers.getStore() ?? OURSELVES, isFree)
}

/** Gives the turn away, and resolves at a later one: what has come by now and waits in the same line begins before. */
export async function letOthersBegin(): Promise<void> {
  threadTurns.end(askers.getStore() ?? OURSELVES)
  await nextLook()
  await nextTurn()
}
