// A small problem as an exact model: the whole rule set, day by day, in whole numbers. What solves it lives outside the
// planner (src/solver/solve-exactly.ts). It shares nothing with the search, whose plans and bounds are held against it.
//
// Its limits. Size: up to about 15 lines, 4 vessels and 28 days are proved within a minute; beyond that a time limit leaves
// a plan and a bound far apart. What has to stay of a plan in force (F1) stays: where it cannot, the model has no solution,
// and does not look for the least that could change. A line is served as early as its dispatch allows, as that is never
// worse, and a batch is brewed as late as its first fill day and the brewhouse allow (src/planner/exact/brew-days.ts). Beers
// without orders or decisions in force are not brewed, and nothing is filled past the horizon. Litres are kept a little more
// strictly than the rules compare them (LITRE_SLACK), so a plan that lives of their whole tolerance may cost a hair less than
// the optimum. It reads calendars, ready days and dispatch options with the same code as the bounds
// (src/planner/bound/instance.ts), and leaves out the same ways to deliver that no line could take even if it were alone
// (src/planner/bound/possible.ts): a fault there would show in both; the checker, which shares nothing with either, judges
// every plan of the tests, and every plan of the search, brewed so late, is a point of the model (tests/planner/exact/start-from.test.ts).
import { readInstance } from '../bound/instance.ts'
import { withPossibleWays } from '../bound/possible.ts'
import { readSupply } from '../bound/supply.ts'
import type { Problem } from '../documents/problem.ts'
import { addBalances } from './balances.ts'
import { addCellar } from './cellar.ts'
import { addCuts } from './cuts.ts'
import { addFilling } from './filling.ts'
import { readInForce } from './in-force.ts'
import { addKeeping } from './keeping.ts'
import { PricedModel } from './priced-model.ts'
import type { ModelParts } from './read-plan.ts'
import { addServing } from './serving.ts'

/**
 * The model of a parsed problem and what is needed to read a plan out of its solution (`readExactPlan`). Where what has to stay
 * of the plan in force (F1) cannot all stay it has no solution.
 */
export function exactModel(problem: Problem): ModelParts {
  const model = new PricedModel()
  const known = readInstance(problem)
  const instance = withPossibleWays(known, readSupply(known))
  const inForce = readInForce(instance)
  const cellar = addCellar(model, instance, inForce)
  const filling = addFilling(model, instance, cellar)
  addBalances(model, instance, cellar, filling.draws)
  const deliveries = addServing(model, instance, filling.fills)
  addCuts({ model, instance, cellar, fills: filling.fills, deliveries })
  const keeping = addKeeping({ model, instance, inForce, cellar, fills: filling.fills })
  return { model, instance, cellar, filling, deliveries, keeping }
}
