// What runs on the planning thread: one problem in, progress and one plan out.
import { parentPort, workerData } from 'node:worker_threads'
import { parseProblem } from '../planner/index.ts'
import type { PlanTask, PlanThreadMessage } from './make-plan-on-thread.ts'
import type { ThreadData } from './on-thread.ts'
import { searchHere } from './search-here.ts'

const { task }: ThreadData<PlanTask> = workerData
const { problem, ...effort } = task
const parsed = parseProblem(problem)
if (parsed.ok) {
  const searched = searchHere(parsed.problem, effort, (progress) => say({ kind: 'PROGRESS', progress }))
  say({ kind: 'PLAN', searched })
} else say({ kind: 'FAULTS', faults: parsed.faults })

function say(message: PlanThreadMessage): void {
  parentPort?.postMessage(message)
}
