// A line from several sources that give a part each of what they could. Five casks of stock stay good; a brew makes five at the least, which
// do not stay: what costs least takes all of the brew and one of the stock, though the stock costs less by the cask.
import { describe, expect, it } from 'vitest'
import type { Plan, Problem } from '../../../src/planner/documents/index.ts'
import { makePlan } from '../../../src/planner/index.ts'
import { solveExactly } from '../../../src/solver/solve-exactly.ts'
import { day, oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'

function leastBrewAndStock(): Problem {
  const problem = oneVesselBrewery({ batches: [], orderLines: [order('a', 6, 9)] })
  problem.vessels[0]!.minFillLitres = 250 // 200 litres after the yeast: five casks
  const beer = problem.beers[0]!
  beer.maxTankDays = 2
  beer.packs[0]!.shelfLifeDays = 5
  const lot = { siteId: 'yard', packId: 'cask', quantity: 5, quarantined: false }
  problem.stock.push({ id: 'lot', ...lot, filledOn: day(-3), readyOn: day(-2), bestBefore: day(60) })
  return problem
}

/** Containers that are filled, and those that a plan delivers from stock. */
function quantities({ fillRuns, deliveries }: Plan) {
  return {
    filled: fillRuns.map(({ quantity }) => quantity),
    fromStock: deliveries.flatMap(({ from }) => from.flatMap((each) => (each.stockLotId ? [each.quantity] : []))),
  }
}

describe('a line of six, where stock and the least that a brew makes are five each', () => {
  const problem = leastBrewAndStock()

  it('takes the whole brew and one of the stock, says the exact solver', async () => {
    const { status, plan } = await solveExactly(problem, { timeLimitSeconds: 20 })
    expect(status).toBe('OPTIMAL')
    expect(plan && quantities(plan)).toEqual({ filled: [5], fromStock: [1] })
  })

  it.each([1, 2, 3, 4])('is planned so from seed %i', (seed) => {
    const { plan } = makePlan(problem, { steps: 1000, seed })
    expect(quantities(plan)).toEqual({ filled: [5], fromStock: [1] })
  })
})

/** Five casks of stock for a line of five that may be split, served on day 3 at best, on a route that carries so many casks on some days and none on others. */
function scarceRoute(casks: Record<number, number>): Problem {
  const problem = oneVesselBrewery({ batches: [], orderLines: [order('a', 5, 3, { splittable: true })] })
  const lot = { siteId: 'yard', packId: 'cask', quantity: 5, quarantined: false }
  problem.stock.push({ id: 'lot', ...lot, filledOn: day(-3), readyOn: day(-2), bestBefore: day(60) })
  for (let on = 0; on < problem.horizonDays; on++) problem.routes[0]!.capacityLitresOn[day(on)] = 40 * (casks[on] ?? 0)
  return problem
}

describe('a line that may be split, where the route is full on most days', () => {
  const firstPlan = (problem: Problem) => makePlan(problem, { steps: 0 }).plan.deliveries.map(quantityByDay).sort()
  const quantityByDay = ({ dispatchOn, from }: Plan['deliveries'][number]) => [
    dispatchOn,
    from.reduce((sum, { quantity }) => sum + quantity, 0),
  ]

  it('takes the rest of it on the first later day that has room', () => {
    expect(firstPlan(scarceRoute({ 2: 3, 8: 2 }))).toEqual([
      [day(2), 3],
      [day(8), 2],
    ])
  })

  it('looks past any number of days on which nothing is left', () => {
    expect(firstPlan(scarceRoute({ 8: 3, 9: 2 }))).toEqual([
      [day(8), 3],
      [day(9), 2],
    ])
  })
})

/** New brews of five casks in two vessels for a line of ten, filled on one day only; the route carries three of them on the first day after, ten on the next. */
function twoNewBrews(): Problem {
  const problem = oneVesselBrewery({ batches: [], orderLines: [order('a', 10, 9, { latestServeOn: day(11) })] })
  problem.vessels[0]!.capacityLitres = 250 // 200 litres after the yeast: five casks
  problem.vessels.push({ ...problem.vessels[0]!, id: 'other tank' })
  problem.sites[0]!.fillWeekdays = [1] // days 0 and 7
  problem.routes[0]!.capacityLitresOn[day(8)] = 3 * 40
  return problem
}

describe('a line of ten for which two new brews are wanted', () => {
  it('still takes both on another day, after one was tried in vain for a day that carries too few', () => {
    const { plan } = makePlan(twoNewBrews(), { steps: 0 })
    expect(plan.unserved).toEqual([])
    expect(quantities(plan)).toEqual({ filled: [5, 5], fromStock: [] })
    expect(plan.deliveries.map(({ dispatchOn }) => dispatchOn)).toEqual([day(9)])
  })
})
