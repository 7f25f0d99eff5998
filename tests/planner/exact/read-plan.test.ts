// What the solver's tolerances leave of a solution: a plan that keeps all rules is read out of it all the same.
import { expect, it } from 'vitest'
import { checkPlan } from '../../../src/planner/checker/check-plan.ts'
import { exactModel } from '../../../src/planner/exact/exact-model.ts'
import { readExactPlan } from '../../../src/planner/exact/read-plan.ts'
import { solveLinear } from '../../../src/solver/solve-linear.ts'
import { brightVesselBrewery, order } from '../../support/one-vessel-brewery.ts'

it('brews and transfers what a bright vessel is drawn for, where the solver brews a hair less (V9)', async () => {
  const problem = brightVesselBrewery({ batches: [], orderLines: [order('kegs', 5, 12, { packId: 'keg' })] })
  const parts = exactModel(problem)
  const { values } = await solveLinear(parts.model.build(), { seconds: 20 })
  if (!values) throw new Error('a plan that brews is always found')
  const brewed = parts.cellar.brews.filter(({ litres }) => values[litres]! > 1)
  expect(brewed).toHaveLength(1)
  for (const { litres } of brewed) values[litres]! -= 0.002
  const plan = readExactPlan(parts, values)
  expect(plan.transfers).toHaveLength(1)
  expect(plan.fillRuns.map(({ quantity }) => quantity)).toEqual([5])
  expect(checkPlan(problem, plan).violations).toEqual([])
})
