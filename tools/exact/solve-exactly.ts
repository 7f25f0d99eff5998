// The exact optimum of a small problem: the whole rule set as a day-indexed mixed-integer model, solved by HiGHS. It shares
// nothing with the search, whose plans and bounds are held against it.
//
// Its limits. Size: up to about 15 lines, 4 vessels and 28 days are proved within a minute; beyond that a time limit leaves
// a plan and a bound far apart. No baseline: neither what may move (F1) nor the cost of churn; promises (F2) count by their
// terms only. A line is served as early as its dispatch allows, as that is never worse. Beers without orders are not
// brewed, and nothing is filled past the horizon. Litres are kept a little more strictly than the rules compare them
// (LITRE_SLACK), so a plan that lives of their whole tolerance may cost a hair less than the optimum. It reads calendars,
// ready days and dispatch options with the same code as the bounds (src/planner/bound/instance.ts): a fault there would
// show in both; the checker, which shares nothing with either, judges every plan of the tests.
import { readInstance } from '../../src/planner/bound/instance.ts'
import type { Plan, Problem } from '../../src/planner/documents/index.ts'
import { solveLinear } from '../../src/solver/solve-linear.ts'
import { addBalances, addCellar } from './cellar.ts'
import { addFilling } from './filling.ts'
import { PricedModel } from './priced-model.ts'
import { type ModelParts, readPlan } from './read-plan.ts'
import { addServing } from './serving.ts'

export interface ExactOptions {
  timeLimitSeconds: number
  /** Relative gap at which a plan counts as optimal; 1e-6 unless given. */
  gap?: number
}

export interface ExactResult {
  /** OPTIMAL: proved to the gap. FEASIBLE: stopped by time with a plan. UNSOLVED: stopped by time without one. */
  status: 'OPTIMAL' | 'FEASIBLE' | 'UNSOLVED'
  /** Cost of the plan as the checker counts it; infinity without one. */
  cost: number
  /** What the model itself makes of it: the same where it is optimal, else possibly more. */
  objective?: Plan['cost']
  /** No valid plan costs less. */
  bound: number
  plan?: Plan
}

/**
 * Solves a parsed problem exactly. Refuses one with a baseline (what may move, F1, and the cost of churn are not in the
 * model) by a RangeError.
 */
export async function solveExactly(problem: Problem, options: ExactOptions): Promise<ExactResult> {
  const parts = exactModel(problem)
  const { timeLimitSeconds, gap = 1e-6 } = options
  const result = await solveLinear(parts.model.build(), { seconds: timeLimitSeconds, gap })
  if (result.status === 'INFEASIBLE' || result.status === 'FAILED')
    throw new Error(`HiGHS says ${result.status}, but dumping all beer and serving no line is always a plan`)
  if (!result.values) return { status: 'UNSOLVED', cost: Number.POSITIVE_INFINITY, bound: result.bound }
  const plan = readPlan(parts, result.values)
  const status = result.status === 'OPTIMAL' ? 'OPTIMAL' : 'FEASIBLE'
  const objective = parts.model.cost(result.values)
  return { status, cost: plan.cost.total, objective, bound: result.bound, plan }
}

/** The model of a problem and what is needed to read a plan out of its solution. */
export function exactModel(problem: Problem): ModelParts {
  if (problem.baseline) throw new RangeError('the exact model knows no baseline: leave it out of the problem')
  const model = new PricedModel()
  const instance = readInstance(problem)
  const cellar = addCellar(model, instance)
  const filling = addFilling(model, instance, cellar)
  addBalances(model, instance, cellar, filling.draws)
  const deliveries = addServing(model, instance, filling.fills)
  return { model, instance, cellar, filling, deliveries }
}
