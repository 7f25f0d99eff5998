// How many brews a batch takes: search, cost, checker and exact model count them with the documents' tolerance of 0.001 L.
import { expect, it } from 'vitest'
import type { Problem } from '../../../src/planner/documents/index.ts'
import { checkPlan, makePlan } from '../../../src/planner/index.ts'
import { solveExactly } from '../../../src/solver/solve-exactly.ts'
import { oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'

/** 31 containers of 30 L are 930 L: with a loss of 7 % exactly one brew of 1000 L, a rounding above it in binary fractions. */
function oneBrewToTheBrim(brewsPerDay: number): Problem {
  const problem = oneVesselBrewery({ orderLines: [order('a', 31, 9)], batches: [] })
  problem.sites[0] = { ...problem.sites[0]!, brewLitres: 1000, brewsPerDay }
  problem.vessels[0] = { ...problem.vessels[0]!, capacityLitres: 1200 }
  problem.beers[0] = { ...problem.beers[0]!, lossFraction: 0.07 }
  problem.containerTypes[0] = { ...problem.containerTypes[0]!, nominalLitres: 30 }
  return problem
}

it('a batch that fills one brew but for a rounding is charged one brew', () => {
  const problem = oneBrewToTheBrim(4)
  const { plan } = makePlan(problem, { steps: 0 })
  expect(checkPlan(problem, plan).violations).toEqual([])
  expect(plan.brews).toHaveLength(1)
  // A brew 100, a set-up 10, a drop 5.
  expect(plan.cost.total).toBeCloseTo(115, 1)
})

it('a brewhouse that makes one brew a day serves an order that takes all of it, with no relief', async () => {
  const problem = oneBrewToTheBrim(1)
  const { plan } = makePlan(problem, { steps: 0 })
  expect(plan.unserved).toEqual([])
  expect(checkPlan(problem, plan).violations).toEqual([])
  const { status, cost } = await solveExactly(problem, { timeLimitSeconds: 30 })
  expect(status).toBe('OPTIMAL')
  expect(cost).toBeCloseTo(plan.cost.total, 1)
})

it('the statistics of the search cost what the checker finds', () => {
  const problem = oneBrewToTheBrim(4)
  const { plan, statistics } = makePlan(problem, { steps: 20 })
  expect(statistics.bestCost).toBeCloseTo(plan.cost.total, 2)
})

it('a fixed brew to the brim stays where the brewhouse makes one brew a day (F1)', () => {
  const problem = oneBrewToTheBrim(1)
  const baseline = makePlan(problem, { steps: 0 }).plan
  const brews = baseline.brews.map((brew) => ({ ...brew, litres: 1000.0004, fixed: true }))
  const again = { ...problem, baseline: { ...baseline, brews } }
  const { plan } = makePlan(again, { steps: 0 })
  expect(checkPlan(again, plan).violations).toEqual([])
  expect(plan.moved).toEqual([])
  expect(plan.brews).toMatchObject([{ id: brews[0]!.id, fixed: true }])
})
