// New brews as sources of a line, on the brewery of one site with two fermenters.
import { expect, it } from 'vitest'
import { checkPlan, makePlan } from '../../../src/planner/index.ts'
import { oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'

it('offer a larger vessel too where the one that wastes least is too small for the line', () => {
  // Five casks are 200 litres; the small tank gives 80 after losses.
  const problem = oneVesselBrewery({ batches: [], orderLines: [order('a', 5, 8)] })
  const [tank] = problem.vessels
  problem.vessels = [{ ...tank!, id: 'small', capacityLitres: 100, minFillLitres: 20 }, tank!]
  const { plan } = makePlan(problem, { steps: 0 })
  expect(checkPlan(problem, plan).violations).toEqual([])
  expect(plan.unserved).toEqual([])
  expect(plan.brews).toMatchObject([{ vesselId: 'tank' }])
})
