// Makes a plan on a thread of its own, so that this one goes on answering requests.
import type { Fault, Problem } from '../planner/documents/index.ts'
import { runOnThread } from './on-thread.ts'
import type { PlanEffort, Searched, SearchProgress } from './search-here.ts'

/** What the planning thread is given. */
export interface PlanTask extends PlanEffort {
  problem: Problem
}

/** What the planning thread says. */
export type PlanThreadMessage =
  | { kind: 'PROGRESS'; progress: SearchProgress }
  | { kind: 'PLAN'; searched: Searched }
  | { kind: 'FAULTS'; faults: Fault[] }

/** The problem is none that can be planned. */
export class FaultyProblem extends Error {
  readonly faults: readonly Fault[]

  constructor(faults: readonly Fault[]) {
    super(`the problem has faults: ${faults.map(({ path, message }) => `${path}: ${message}`).join('; ')}`)
    this.name = 'FaultyProblem'
    this.faults = faults
  }
}

/**
 * Parses and plans a problem on a worker thread. `onProgress` is called about ten times a second. Aborting ends
 * the thread. Rejects with a `FaultyProblem`, with what the planner threw, or with the signal's reason.
 */
export function makePlanOnThread(
  problem: Problem,
  effort: PlanEffort = {},
  { onProgress, signal }: { onProgress?: (progress: SearchProgress) => void; signal?: AbortSignal } = {},
): Promise<Searched> {
  const task: PlanTask = { problem, ...effort }
  const hear = (message: PlanThreadMessage): Searched | undefined => {
    if (message.kind === 'FAULTS') throw new FaultyProblem(message.faults)
    if (message.kind === 'PLAN') return message.searched
    onProgress?.(message.progress)
    return undefined
  }
  return runOnThread('./plan-thread.ts', task, hear, signal)
}
