import { expect, it } from 'vitest'
import { exactModel } from '../../../src/planner/index.ts'
import { solveLinear } from '../../../src/solver/solve-linear.ts'
import { oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'

it('a line bears its whole set-up in fractions, too', async () => {
  // One cask of the five that the batch would fill: a set-up, a drop, 160 litres left.
  const model = exactModel(oneVesselBrewery({ horizonDays: 6, orderLines: [order('a', 1, 3)] })).model.build()
  const { objective } = await solveLinear({ ...model, whole: new Int32Array(model.columnCount) }, { seconds: 20 })
  expect(objective).toBeCloseTo(10 + 5 + 160 * 2, 1)
})
