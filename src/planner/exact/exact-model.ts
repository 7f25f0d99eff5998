// A small problem as an exact model: the whole rule set, day by day, in whole numbers. What solves it lives outside the
// planner (src/solver/solve-exactly.ts). It shares nothing with the search, whose plans and bounds are held against it.
//
// Its limits. Size: up to about 15 lines, 4 vessels and 28 days are proved within a minute; beyond that a time limit leaves
// a plan and a bound far apart. No baseline: neither what may move (F1) nor the cost of churn; promises (F2) count by their
// terms only. A line is served as early as its dispatch allows, as that is never worse. Beers without orders are not
// brewed, and nothing is filled past the horizon. Litres are kept a little more strictly than the rules compare them
// (LITRE_SLACK), so a plan that lives of their whole tolerance may cost a hair less than the optimum. It reads calendars,
// ready days and dispatch options with the same code as the bounds (src/planner/bound/instance.ts): a fault there would
// show in both; the checker, which shares nothing with either, judges every plan of the tests.
import { readInstance } from '../bound/instance.ts'
import type { Problem } from '../documents/problem.ts'
import { addBalances, addCellar } from './cellar.ts'
import { addFilling } from './filling.ts'
import { PricedModel } from './priced-model.ts'
import type { ModelParts } from './read-plan.ts'
import { addServing } from './serving.ts'

/**
 * The model of a parsed problem and what is needed to read a plan out of its solution (`readExactPlan`). Refuses one with a
 * baseline (what may move, F1, and the cost of churn are not in the model) by a RangeError.
 */
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
