// Solves a linear or mixed-integer model with HiGHS on a thread of its own.
import { Worker } from 'node:worker_threads'
import type { LinearModel } from '../planner/index.ts'

export interface SolveOptions {
  /** Wall-clock seconds that the solver may take. */
  seconds: number
  /** How much longer it may take before it is ended; a quarter of the seconds and two more unless given. */
  overrunSeconds?: number | undefined
  /** Stop a mixed-integer solve at this relative gap; 0 unless given. */
  gap?: number
  /** How a purely linear model is solved; HiGHS chooses unless given. */
  method?: 'simplex' | 'ipm'
  /** Values of some columns, from which a mixed-integer solve starts: HiGHS completes them to a first point, if it can. */
  start?: ReadonlyMap<number, number> | undefined
  /** Hears of each better bound of a mixed-integer solve. */
  onBound?: ((bound: number) => void) | undefined
}

/** What HiGHS found. Bounds and objectives include the model's constant. */
export interface SolveResult {
  /** LIMIT: stopped by time. FAILED: the solver gave up for a reason of its own. */
  status: 'OPTIMAL' | 'INFEASIBLE' | 'LIMIT' | 'FAILED'
  /** No feasible point costs less, as far as HiGHS has proved; -infinity where it has proved nothing. */
  bound: number
  /** Cost and columns of the best feasible point, where one was found. */
  objective?: number
  values?: Float64Array
  /** Row multipliers of a purely linear model, also of one that was stopped. */
  rowDuals?: Float64Array
}

type WorkerMessage =
  | ({ kind: 'RESULT' } & SolveResult)
  | { kind: 'PROGRESS'; bound: number }
  | { kind: 'BETTER'; objective: number; values: Float64Array }

/**
 * Solves the model on a worker thread. HiGHS looks at its clock only between its steps: one that overruns its time is ended, and
 * the answer has the best bound and the best point that it had reported.
 */
export function solveLinear(
  model: LinearModel,
  { seconds, overrunSeconds = seconds / 4 + 2, gap = 0, method, start, onBound }: SolveOptions,
): Promise<SolveResult> {
  const options = {
    time_limit: seconds,
    mip_rel_gap: gap,
    mip_abs_gap: 1e-6,
    ...(method ? { solver: method } : {}),
  }
  return new Promise((resolve, reject) => {
    let bound = Number.NEGATIVE_INFINITY
    let found: Pick<SolveResult, 'objective' | 'values'> = {}
    // The worker is plain JavaScript: loaders of this thread (tsx) are not wanted in it.
    const worker = new Worker(new URL('./highs-worker.mjs', import.meta.url), {
      workerData: { model, options, start },
      execArgv: [],
    })
    const end = (result: SolveResult) => {
      clearTimeout(overrun)
      resolve(result)
      void worker.terminate()
    }
    const overrun = setTimeout(() => end({ status: 'LIMIT', bound, ...found }), (seconds + overrunSeconds) * 1000)
    worker.on('message', (message: WorkerMessage) => {
      if (message.kind === 'BETTER') found = { objective: message.objective, values: message.values }
      else if (message.kind === 'RESULT') {
        const { kind: _, ...result } = message
        end({ ...result, bound: Math.max(bound, result.bound) })
      } else if (message.bound > bound) {
        bound = message.bound
        onBound?.(bound)
      }
    })
    worker.on('error', (error) => {
      clearTimeout(overrun)
      reject(error)
    })
  })
}
