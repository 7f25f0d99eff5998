// What runs on the sharing thread: problems with their plans in, the cheapest valid plan of each problem out.
import { parentPort, workerData } from 'node:worker_threads'
import type { Plan, Problem } from '../planner/documents/index.ts'
import { checkPlan } from '../planner/index.ts'
import type { ThreadData } from './on-thread.ts'
import type { ShareMessage, ShareTask } from './share-plans.ts'

const { task }: ThreadData<ShareTask> = workerData
const message: ShareMessage = { plans: task.planned.map(({ problem, plan }) => cheapest(problem, plan)) }
parentPort?.postMessage(message)

function cheapest(problem: Problem, own: Plan): Plan {
  let best = own
  for (const { plan } of task.planned) {
    const { violations, cost } = checkPlan(problem, plan)
    const isValid = violations.every(({ rule }) => rule === 'COST')
    if (isValid && cost.total < best.cost.total - 0.01) best = { ...plan, cost }
  }
  return best
}
