// Bounds are valid always: none is above the proven optimum of a small problem, or above the cost of a plan that is known.
import { describe, expect, it } from 'vitest'
import { randomProblem } from '../../../seeds/random-problem.ts'
import { tinyProblem } from '../../../seeds/small-problem.ts'
import { cautious } from '../../../src/planner/bound/bound.ts'
import { instantBound } from '../../../src/planner/bound/instant-bound.ts'
import { buildRelaxation } from '../../../src/planner/bound/relaxation.ts'
import { safeDualBound } from '../../../src/planner/bound/safe-dual-bound.ts'
import type { Problem } from '../../../src/planner/problem.ts'
import { relaxedBound } from '../../../src/solver/relaxed-bound.ts'
import { solveLinear } from '../../../src/solver/solve-linear.ts'
import { solveExactly } from '../../../tools/exact/solve-exactly.ts'
import { oneVesselBrewery, order } from '../../exact/one-vessel-brewery.ts'

/** The tolerance with which the planning rules compare costs. */
const above = (cost: number) => cost + 0.01 + 1e-6 * cost

async function aggregated(problem: Problem, bucketDays: number): Promise<number> {
  const model = buildRelaxation(problem, { wholeBrews: false, bucketDays })
  const { rowDuals, status } = await solveLinear(model, { seconds: 20 })
  expect(status).toBe('OPTIMAL')
  return cautious(safeDualBound(model, rowDuals!))
}

describe('no bound is above the optimum', () => {
  const problems = [
    ...[1, 4, 11, 18, 27].map((seed) => [`tiny ${seed}`, tinyProblem(seed)] as const),
    ...[1, 14, 18, 29, 43, 46, 49].map((seed) => [`random ${seed}`, randomProblem(seed)] as const),
  ]
  it.each(problems)('%s', async (_, problem) => {
    const { status, cost } = await solveExactly(problem, { timeLimitSeconds: 20 })
    expect(status).toBe('OPTIMAL')
    const perLine = instantBound(problem)
    expect(perLine.value).toBeLessThanOrEqual(above(cost))
    for (const bucketDays of [1, 3]) expect(await aggregated(problem, bucketDays)).toBeLessThanOrEqual(above(cost))
    const whole = await relaxedBound(problem, { seconds: 20, wholeBrews: true })
    expect(whole.value).toBeLessThanOrEqual(above(cost))
    expect(whole.value).toBeGreaterThanOrEqual(perLine.value)
  })
})

describe('bounds worked out by hand', () => {
  it('counts the whole cost of a line that nothing else stands in the way of, but the share of its last brew', async () => {
    // 160 litres of a ready batch of 200: one set-up of at most 200 litres, one drop, 40 litres left.
    const problem = oneVesselBrewery({ orderLines: [order('a', 4, 3)] })
    expect(instantBound(problem).value).toBeCloseTo(0.8 * 10 + 5 + 40 * 2, 2)
  })

  it('knows that a beer which must be brewed first is late', () => {
    // Ready on day 5, settled on day 7: a line for day 6 is a day late. 200 litres of the 200 that a brew gives.
    const problem = oneVesselBrewery({ batches: [], orderLines: [order('a', 5, 6)] })
    expect(instantBound(problem).value).toBeCloseTo(100 + 200 * 2 + (10 * 200) / 400 + 5, 1)
  })

  it('rises with the relaxation where two lines want the filler on the same day', async () => {
    const problem = oneVesselBrewery({
      orderLines: [order('a', 2, 2), order('b', 2, 2)],
    })
    problem.fillers[0]!.minutesPerDay = 10 // two casks a day
    problem.today = '2027-06-08' // so that they can be filled on one day only in time
    const perLine = instantBound(problem)
    const relaxed = await relaxedBound(problem, { seconds: 20, wholeBrews: false })
    expect(relaxed.kind).toBe('AGGREGATED')
    expect(relaxed.value - perLine.value).toBeGreaterThan(80 * 2 - 1)
  })
})

it('falls back to the bound per line where the solver has no time', async () => {
  const problem = tinyProblem(3)
  const bound = await relaxedBound(problem, { seconds: 0, wholeBrews: true })
  expect(bound).toEqual(instantBound(problem))
})
