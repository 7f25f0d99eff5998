// Finds lower bounds on a thread of its own: the instant one first, then better ones while there is time; of a problem that is small, or whose
// bounds are far below the plan, a plan, too.

import type { Problem } from '../planner/documents/index.ts'
import type { Bound, Unavoidable } from '../planner/index.ts'
import { runOnThread } from './on-thread.ts'
import type { Searched } from './search-here.ts'

/** What the bounding thread is given. */
export interface BoundTask {
  /** Parsed. */
  problem: Problem
  /** Seconds for bounds that need the solver; 0 for the instant one alone. */
  seconds: number
  /** Whether plans are looked for, too: by a small problem's exact model, or by one more search. */
  mayPlan: boolean
  /** Of that search. */
  seed: number
  /** In memory that threads share, one number: what the cheapest plan of the searches costs, infinity before the first. */
  bestCost: Float64Array
}

/** What the bounding thread says. */
export type BoundThreadMessage =
  | { kind: 'BOUND'; bound: Bound }
  | { kind: 'UNAVOIDABLE'; unavoidable: Unavoidable }
  | { kind: 'PLAN'; searched: Searched }
  | { kind: 'DONE' }

export interface BoundOptions {
  onBound?: (bound: Bound) => void
  /** Hears what is certain of each line and beer, ever more; at once and as often as more is known. */
  onUnavoidable?: (unavoidable: Unavoidable) => void
  /** Whether plans are looked for, too: by a small problem's exact model, or by one more search. */
  mayPlan?: boolean
  /** Of that search; 1 unless given. */
  seed?: number
  /** What the cheapest plan of the searches costs, of `sharedCost`, kept up by the caller; unless given it is not known. */
  bestCost?: Float64Array
  /** Hears of the plan that was found. */
  onPlan?: (searched: Searched) => void
  signal?: AbortSignal
}

/** A cost that all threads see that are given it; infinity until it is set. */
export function sharedCost(): Float64Array {
  return new Float64Array(new SharedArrayBuffer(Float64Array.BYTES_PER_ELEMENT)).fill(Number.POSITIVE_INFINITY)
}

/**
 * Finds ever better lower bounds of a parsed problem: no valid plan costs less (but see `boundOfCost`). Resolves with all of
 * them after about `seconds`; rejects with what the thread threw, or with the signal's reason, and what was reported until then
 * still holds.
 */
export function boundOnThread(
  problem: Problem,
  seconds: number,
  { onBound, onUnavoidable, onPlan, mayPlan = false, seed = 1, bestCost = sharedCost(), signal }: BoundOptions = {},
): Promise<Bound[]> {
  const found: Bound[] = []
  const hear = (message: BoundThreadMessage): Bound[] | undefined => {
    if (message.kind === 'DONE') return found
    if (message.kind === 'PLAN') onPlan?.(message.searched)
    else if (message.kind === 'UNAVOIDABLE') onUnavoidable?.(message.unavoidable)
    else {
      found.push(message.bound)
      onBound?.(message.bound)
    }
    return undefined
  }
  const task: BoundTask = { problem, seconds, mayPlan, seed, bestCost }
  return runOnThread('./bound-thread.ts', task, hear, signal)
}
