// Beer that no one ordered, on breweries so small that the best can be worked out by hand, with the default costs of section
// 8 (a litre dumped 5, a litre left over 2, a brew 100, a set-up 10, a drop 5); HiGHS on the exact model agrees to a cent.
import { expect, it } from 'vitest'
import type { Plan, Problem } from '../../../src/planner/documents/index.ts'
import { checkPlan, makePlan } from '../../../src/planner/index.ts'
import { solveExactly } from '../../../src/solver/solve-exactly.ts'
import { brightVesselBrewery, day, oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'

/** The plan, which the checker passes and the solver cannot better. */
async function bestPlan(problem: Problem): Promise<Plan> {
  const { plan } = makePlan(problem, { steps: 500 })
  expect(checkPlan(problem, plan).violations).toEqual([])
  const { status, cost } = await solveExactly(problem, { timeLimitSeconds: 30 })
  expect(status).toBe('OPTIMAL')
  expect(Math.abs(plan.cost.total - (cost ?? Number.NaN))).toBeLessThan(0.02)
  return plan
}

/**
 * The brewery whose 200 litres must leave the fermenter by day 1, for lack of tank days; a cask is past its best within the
 * horizon and a bright vessel keeps beer for a day only, so nothing but kegs, filled there, lasts to the end.
 */
function kegsOnlyLast(horizonDays: number, orderLines: Problem['orderLines']): Problem {
  const problem = brightVesselBrewery({ horizonDays, orderLines })
  Object.assign(problem.beers[0]!, { maxTankDays: 2, maxBrightDays: 1 })
  problem.beers[0]!.packs[0]!.shelfLifeDays = 3
  return problem
}

it('is moved to a bright vessel and filled to stock where nothing else keeps it', async () => {
  // A cask of 40 is served; of 160 litres, 3 kegs are left over and 10 litres dumped: 2 × 10 + 5 + 150 × 2 + 10 × 5.
  const plan = await bestPlan(kegsOnlyLast(7, [order('a', 1, 2)]))
  expect(plan.transfers).toMatchObject([{ batchId: 'gyle', toVesselId: 'bright' }])
  expect(plan.fillRuns).toContainEqual(expect.objectContaining({ packId: 'keg', quantity: 3 }))
  expect(plan.cost.total).toBeCloseTo(375, 1)
})

it('leaves the fermenter for it in time for the brew that comes next', async () => {
  // Casks served on day 8 are brewed on day 1, in the only fermenter: what stands there leaves today, not tomorrow.
  const problem = kegsOnlyLast(10, [order('a', 1, 2), order('b', 4, 8, { latestServeOn: day(8) })])
  const plan = await bestPlan(problem)
  expect(plan.brews).toMatchObject([{ vesselId: 'tank', brewOn: day(1) }])
  expect(plan.transfers).toMatchObject([{ batchId: 'gyle', on: day(0) }])
  expect(plan.fillRuns).toContainEqual(expect.objectContaining({ packId: 'keg', quantity: 3 }))
})

it('is brewed a little more where a container to stock costs less than what would be dumped', async () => {
  // The tank takes 130 litres at least, 104 after losses: 2 casks leave 24, dumped at 120; a third cask to stock is 80.
  const problem = oneVesselBrewery({ batches: [], orderLines: [order('a', 2, 7)] })
  problem.vessels[0]!.minFillLitres = 130
  problem.beers[0]!.maxTankDays = 2
  const plan = await bestPlan(problem)
  expect(plan.brews).toMatchObject([{ litres: 150 }])
  expect(plan.cost.total).toBeCloseTo(100 + 10 + 5 + 80, 1)
})
