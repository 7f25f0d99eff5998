// Finds lower bounds on a thread of its own: the instant one first, then better ones while there is time.

import type { Problem } from '../planner/documents/index.ts'
import type { Bound } from '../planner/index.ts'
import { runOnThread } from './on-thread.ts'

/** What the bounding thread is given. */
export interface BoundTask {
  /** Parsed. */
  problem: Problem
  /** Seconds for bounds that need the solver; 0 for the instant one alone. */
  seconds: number
}

/** What the bounding thread says. */
export type BoundThreadMessage = { kind: 'BOUND'; bound: Bound } | { kind: 'DONE' }

/**
 * Tells ever better lower bounds of a parsed problem: no valid plan costs less. Resolves with the last, after about
 * `seconds`; rejects with what the thread threw, or with the signal's reason, and what was reported until then still holds.
 */
export function boundOnThread(
  problem: Problem,
  seconds: number,
  { onBound, signal }: { onBound?: (bound: Bound) => void; signal?: AbortSignal } = {},
): Promise<Bound> {
  let last: Bound | undefined
  const hear = (message: BoundThreadMessage): Bound | undefined => {
    if (message.kind === 'DONE') return last
    last = message.bound
    onBound?.(message.bound)
    return undefined
  }
  const task: BoundTask = { problem, seconds }
  return runOnThread('./bound-thread.ts', task, hear, signal)
}
