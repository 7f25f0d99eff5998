// What runs on the sharing thread: problems with their plans in, the cheapest valid plan of each problem out.
import type { Plan, Problem } from '../planner/documents/index.ts'
import { checkPlan } from '../planner/index.ts'
import type { ShareMessage, ShareTask } from './share-plans.ts'

/** Finds the plans. */
export function run({ planned }: ShareTask, say: (message: ShareMessage) => void): void {
  say({ plans: planned.map(({ problem, plan }) => cheapest(problem, plan, planned)) })
}

function cheapest(problem: Problem, own: Plan, planned: ShareTask['planned']): Plan {
  let best = own
  for (const { plan } of planned) {
    const { violations, cost } = checkPlan(problem, plan)
    const isValid = violations.every(({ rule }) => rule === 'COST')
    if (isValid && cost.total < best.cost.total - 0.01) best = { ...plan, cost }
  }
  return best
}
