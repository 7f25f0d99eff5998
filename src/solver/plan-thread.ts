// What runs on the planning thread: one problem in, progress and one plan out.
import { parentPort, workerData } from 'node:worker_threads'
import { instantBound } from '../planner/bound/instant-bound.ts'
import { makePlan } from '../planner/index.ts'
import type { PlanTask, ThreadMessage } from './make-plan-aside.ts'

/** Progress is told at most this often, in milliseconds. */
const BETWEEN_REPORTS = 100

const { problem, seed, steps, seconds }: PlanTask = workerData
const started = performance.now()
const passed = () => (performance.now() - started) / 1000
let reportedAt = Number.NEGATIVE_INFINITY

const { plan, statistics } = makePlan(problem, {
  seed,
  steps,
  ...(seconds === undefined ? {} : { elapsed: () => (seconds === 0 ? 1 : passed() / seconds) }),
  keepGoing: (progress) => {
    const now = performance.now()
    if (now - reportedAt >= BETWEEN_REPORTS) {
      reportedAt = now
      send({ kind: 'PROGRESS', ...progress, seconds: passed() })
    }
    return true
  },
})
send({ kind: 'PLAN', plan, bound: instantBound(problem), statistics: { ...statistics, seconds: passed() } })

function send(message: ThreadMessage): void {
  parentPort?.postMessage(message)
}
