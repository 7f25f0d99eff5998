// Solves a linear or mixed-integer model with HiGHS on a thread of its own.
import { Worker } from 'node:worker_threads'
import type { LinearModel } from '../planner/index.ts'
import { solverCode, type WithSolverCode } from './solver-code.ts'

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
  /** Whether a mixed-integer solve may begin again once many columns are decided; true unless given. */
  restart?: boolean
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

/** Solves one model on a thread of its own. */
export async function solveLinear(model: LinearModel, options: SolveOptions): Promise<SolveResult> {
  const thread = new SolverThread()
  try {
    return await thread.solve(model, options)
  } finally {
    thread.close()
  }
}

/**
 * A thread on which HiGHS solves one model after another: its start takes longer than many a model. Close it in the
 * end. HiGHS looks at its clock only between its steps: a solve that overruns its time is ended with its thread, and the answer has the
 * best bound and the best point that it had reported; the next model gets a new thread.
 */
export class SolverThread {
  #worker: Worker | undefined

  /** Solves the model; one at a time. Rejects with what the thread threw. */
  async solve(
    model: LinearModel,
    { seconds, overrunSeconds = seconds / 4 + 2, gap = 0, method, start, restart = true, onBound }: SolveOptions,
  ): Promise<SolveResult> {
    const options = {
      time_limit: seconds,
      mip_rel_gap: gap,
      mip_abs_gap: 1e-6,
      mip_allow_restart: restart,
      ...(method ? { solver: method } : {}),
    }
    const workerData: WithSolverCode = { solverCode: await solverCode() }
    // The worker is plain JavaScript: loaders of this thread (tsx) are not wanted in it.
    this.#worker ??= new Worker(new URL('./highs-worker.mjs', import.meta.url), { workerData, execArgv: [] })
    const worker = this.#worker
    return new Promise((resolve, reject) => {
      let bound = Number.NEGATIVE_INFINITY
      let found: Pick<SolveResult, 'objective' | 'values'> = {}
      const end = (result: SolveResult) => {
        clearTimeout(overrun)
        worker.off('message', hear)
        worker.off('error', fail)
        resolve(result)
      }
      const overrun = setTimeout(
        () => {
          end({ status: 'LIMIT', bound, ...found })
          this.close()
        },
        (seconds + overrunSeconds) * 1000,
      )
      const hear = (message: WorkerMessage) => {
        if (message.kind === 'BETTER') found = { objective: message.objective, values: message.values }
        else if (message.kind === 'RESULT') {
          const { kind: _, ...result } = message
          end({ ...result, bound: Math.max(bound, result.bound) })
        } else if (message.bound > bound) {
          bound = message.bound
          onBound?.(bound)
        }
      }
      const fail = (error: unknown) => {
        clearTimeout(overrun)
        this.#worker = undefined
        reject(error)
      }
      worker.on('message', hear)
      worker.on('error', fail)
      worker.postMessage({ model, options, start })
    })
  }

  close(): void {
    void this.#worker?.terminate()
    this.#worker = undefined
  }
}
