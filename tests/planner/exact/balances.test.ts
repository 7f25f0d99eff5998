// The exact model's beer, batch by batch.
import { expect, it } from 'vitest'
import { exactModel } from '../../../src/planner/index.ts'
import { solveLinear } from '../../../src/solver/solve-linear.ts'
import { day, oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'

it('a fraction of a batch that is ready lends its days to no beer that is not', async () => {
  // A cask of what is ready; what is brewed is ready two days after the last fill that is in time.
  const problem = oneVesselBrewery({ orderLines: [order('a', 4, 5, { latestServeOn: day(5), splittable: true })] })
  problem.batches[0]!.litres = 40
  const { model } = exactModel(problem)
  const linear = model.build()
  linear.whole.fill(0)
  const { values } = await solveLinear(linear, { seconds: 20 })
  if (!values) throw new Error('a linear model has values')
  expect(model.cost(values).terms.unserved).toBeCloseTo(3 * 40 * 20, 0)
})
