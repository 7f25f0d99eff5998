// Plans made under a clock, each held to the checker and to its own start.

import type { Plan, Problem } from '../../src/planner/documents/index.ts'
import { makePlan } from '../../src/planner/index.ts'
import type { Report } from './part.ts'

export interface TimedPlan {
  plan: Plan
  cost: number
  steps: number
  /** Milliseconds to the search's first complete plan. */
  firstMs: number
  /** Milliseconds to the answer: explained, costed and checked. */
  totalMs: number
}

/** Plans for so many seconds of search (0: the first plan alone), checks the plan, and that it is no worse than its start. */
export function timedPlan(report: Report, name: string, problem: Problem, seconds: number, seed = 1): TimedPlan {
  const started = performance.now()
  const passed = () => performance.now() - started
  let firstMs = Number.NaN
  const { plan, statistics } = makePlan(problem, {
    seed,
    elapsed: () => (seconds === 0 ? 1 : passed() / (1000 * seconds)),
    onProgress: ({ steps }) => {
      if (steps === 0 && Number.isNaN(firstMs)) firstMs = passed()
    },
  })
  const totalMs = passed()
  report.check(name, problem, plan)
  if (statistics.bestCost > statistics.firstCost + 0.01)
    report.fault(`${name}: ended at ${statistics.bestCost}, worse than its first plan at ${statistics.firstCost}`)
  return { plan, cost: plan.cost.total, steps: statistics.steps, firstMs, totalMs }
}

/** Runs the planner on a problem of the usual kind until the machine's compiler has seen all of it. */
export function warmUp(problem: Problem): void {
  makePlan(problem, { steps: 200 })
  makePlan(problem, { steps: 0 })
}
