// The exact model: optima worked out by hand, and plans that the independent checker accepts at the model's own cost.
import { describe, expect, it } from 'vitest'
import { randomProblem } from '../../../seeds/random-problem.ts'
import { smallProblem, tinyProblem } from '../../../seeds/small-problem.ts'
import { checkPlan } from '../../../src/planner/checker/check-plan.ts'
import { COST_TERMS, DEFAULT_COSTS, type Problem } from '../../../src/planner/documents/index.ts'
import { solveExactly } from '../../../src/solver/solve-exactly.ts'
import { day, oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'
import { sampled, WHOLE } from '../../support/sampled.ts'

const inTime = { timeLimitSeconds: 20 }

/** The parts of the optimum's cost that are not zero, and the plan. */
async function optimum(problem: Problem) {
  const { status, cost, bound, plan } = await solveExactly(problem, inTime)
  expect(status).toBe('OPTIMAL')
  expect(bound).toBeCloseTo(cost, 2)
  if (!plan) throw new Error('an optimum has a plan')
  expect(checkPlan(problem, plan).violations).toEqual([])
  const terms = Object.fromEntries(
    COST_TERMS.map((term) => [term, Math.round(plan.cost.terms[term] * 1000) / 1000] as const).filter(
      ([, amount]) => amount > 0,
    ),
  )
  return { terms, plan }
}

describe('optima worked out by hand', () => {
  it('fills on the latest day that leaves the cask fit and settled, and keeps the rest in the tank', async () => {
    const { terms, plan } = await optimum(oneVesselBrewery({ orderLines: [order('a', 4, 3)] }))
    expect(terms).toEqual({ setup: 10, drop: 5, unsold: 40 * DEFAULT_COSTS.unsold })
    expect(plan.fillRuns.map(({ on }) => on)).toEqual([day(1)])
  })

  it('fills what must leave the tank to stock rather than dump it', async () => {
    const problem = oneVesselBrewery({ orderLines: [order('a', 4, 3)] })
    problem.beers[0]!.maxTankDays = 5 // ready yesterday: empty by day 4
    const { terms, plan } = await optimum(problem)
    expect(terms).toEqual({ setup: 10, drop: 5, unsold: 40 * DEFAULT_COSTS.unsold })
    expect(plan.fillRuns.reduce((sum, { quantity }) => sum + quantity, 0)).toBe(5)
  })

  it('loses the overfill from the batch, and nothing is left', async () => {
    const problem = oneVesselBrewery({ orderLines: [order('a', 4, 3)] })
    problem.containerTypes[0]!.overfillFraction = 0.25
    expect((await optimum(problem)).terms).toEqual({ setup: 10, drop: 5 })
  })

  it('brews twice for a batch of more than one brew, which loses a fifth to the yeast', async () => {
    const problem = oneVesselBrewery({ batches: [], orderLines: [order('a', 10, 12)] })
    const { terms, plan } = await optimum(problem)
    expect(terms).toEqual({ brew: 200, setup: 10, drop: 5 })
    expect(plan.brews).toHaveLength(1)
    expect(plan.brews[0]!.litres).toBeCloseTo(500, 2)
  })

  it('serves a line one day late where a day of it costs less than leaving it', async () => {
    // Brewed today, ready on day 5, filled then, fit on day 6, settled on day 7.
    const { terms } = await optimum(oneVesselBrewery({ batches: [], orderLines: [order('a', 5, 6)] }))
    expect(terms).toEqual({ brew: 100, setup: 10, drop: 5, late: 200 * DEFAULT_COSTS.late })
  })

  it('leaves the line of least priority where the filler cannot fill both by their latest days', async () => {
    const latest = { latestServeOn: day(2) }
    const problem = oneVesselBrewery({
      orderLines: [order('first', 3, 2, { ...latest, priority: 1 }), order('third', 2, 2, latest)],
    })
    problem.fillers[0]!.minutesPerDay = 15
    const { terms, plan } = await optimum(problem)
    expect(plan.unserved).toMatchObject([{ orderLineId: 'third', quantity: 2 }])
    expect(terms).toEqual({
      unserved: 80 * DEFAULT_COSTS.unserved,
      unsold: 80 * DEFAULT_COSTS.unsold,
      setup: 10,
      drop: 5,
    })
  })

  it('splits a line that may be split over two deliveries, and keeps one that may not for later', async () => {
    const twoCasksADay = (splittable: boolean) => {
      const problem = oneVesselBrewery({ orderLines: [order('a', 4, 2, { splittable })] })
      problem.fillers[0]!.minutesPerDay = 10
      return problem
    }
    // Two casks on day 2, two on day 3; unsplit all four on day 3, for which the first two wait a day.
    expect((await optimum(twoCasksADay(true))).terms).toMatchObject({ late: 80 * DEFAULT_COSTS.late, drop: 10 })
    expect((await optimum(twoCasksADay(false))).terms).toMatchObject({ late: 160 * DEFAULT_COSTS.late, drop: 5 })
  })
})

describe('every plan of the exact model', () => {
  const problems = [
    ...[3, 16, 19].map((seed) => [`tiny ${seed}`, tinyProblem(seed)] as const),
    // One of each kind that is small enough: primed, bright, stores, routes, stale stock, closed days, own costs …
    ...[2, 6, 16, 17, 19, 20, 23, 24, 28, 29, 32, 35, 51].map(
      (seed) => [`random ${seed}`, randomProblem(seed)] as const,
    ),
  ]
  it.each(sampled(problems, 2))('passes the checker at the cost that the model says: %s', async (_, problem) => {
    const { status, plan, objective } = await solveExactly(problem, inTime)
    expect(status).toBe('OPTIMAL')
    const found = checkPlan(problem, plan!)
    expect(found.violations).toEqual([])
    for (const term of COST_TERMS) expect(objective!.terms[term]).toBeCloseTo(found.cost.terms[term], 1)
  })

  it.runIf(WHOLE)('passes the checker where time ran out before the proof, too', async () => {
    const problem = smallProblem(1)
    const { status, plan, cost, bound } = await solveExactly(problem, { timeLimitSeconds: 2 })
    expect(status).not.toBe('OPTIMAL')
    expect(bound).toBeLessThan(cost)
    if (plan) expect(checkPlan(problem, plan).violations).toEqual([])
  })
})
