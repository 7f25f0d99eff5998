// Makes a plan on a thread of its own, so that this one goes on answering requests.
import { Worker } from 'node:worker_threads'
import type { Bound } from '../planner/bound/bound.ts'
import type { PlanOutcome, Progress } from '../planner/index.ts'
import type { Plan, Problem } from '../planner/problem.ts'

/** Effort as in `makePlan`: steps, or seconds of wall-clock time, or neither for the planner's default. */
export interface PlanEffort {
  seed?: number
  steps?: number
  seconds?: number
}

export interface AsideProgress extends Progress {
  /** Since the search began. */
  seconds: number
}

export interface AsideOutcome {
  plan: Plan
  /** The instant lower bound of the problem, found on that thread too: it takes a while for thousands of lines. */
  bound: Bound
  statistics: PlanOutcome['statistics'] & { seconds: number }
}

/** What the planning thread is given. */
export interface PlanTask extends PlanEffort {
  problem: Problem
}

/** What the planning thread says. */
export type ThreadMessage = ({ kind: 'PROGRESS' } & AsideProgress) | ({ kind: 'PLAN' } & AsideOutcome)

/**
 * Plans a parsed problem on a worker thread. `onProgress` hears of the search about ten times a second. Aborting ends
 * the thread. Rejects with what the planner threw, or with the signal's reason.
 */
export function makePlanAside(
  problem: Problem,
  effort: PlanEffort = {},
  { onProgress, signal }: { onProgress?: (progress: AsideProgress) => void; signal?: AbortSignal } = {},
): Promise<AsideOutcome> {
  return new Promise((resolve, reject) => {
    signal?.throwIfAborted()
    const task: PlanTask = { problem, ...effort }
    const worker = new Worker(new URL('./plan-worker.mjs', import.meta.url), { workerData: task, execArgv: [] })
    const settle = (finish: () => void) => {
      signal?.removeEventListener('abort', abort)
      finish()
      void worker.terminate()
    }
    const abort = () => settle(() => reject(signal?.reason))
    signal?.addEventListener('abort', abort)
    worker.on('message', (message: ThreadMessage) => {
      if (message.kind === 'PROGRESS') {
        const { kind: _, ...progress } = message
        onProgress?.(progress)
      } else {
        const { kind: _, ...outcome } = message
        settle(() => resolve(outcome))
      }
    })
    worker.on('error', (error) => settle(() => reject(error)))
    worker.on('exit', () => settle(() => reject(new Error('The planning thread ended without a plan.'))))
  })
}
