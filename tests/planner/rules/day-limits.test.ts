// Limits that a day has of its own (V1, V11, L1, D1, T2): what is left of today once some of it is used up.
import { describe, expect, it } from 'vitest'
import type { Plan, Problem } from '../../../src/planner/documents/index.ts'
import { checkPlan, makePlan, servedWith } from '../../../src/planner/index.ts'
import { solveExactly } from '../../../src/solver/solve-exactly.ts'
import { brightVesselBrewery, day, oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'

/** The plan for a problem, which the checker accepts and no plan is cheaper than. */
async function planFor(problem: Problem): Promise<Plan> {
  const { plan } = makePlan(problem, { steps: 200 })
  expect(checkPlan(problem, plan).violations).toEqual([])
  const { plan: optimum } = await solveExactly(problem, { timeLimitSeconds: 30 })
  expect(plan.cost.total).toBeCloseTo(optimum?.cost.total ?? 0, 2)
  return plan
}

const allOf = (plan: Plan) => [plan.fillRuns[0]?.on, plan.deliveries[0]?.dispatchOn, plan.late?.[0]?.orderLineId]

describe('a day that has a limit of its own', () => {
  it('takes what is left of its route, and the rest goes on the next day', async () => {
    const problem = oneVesselBrewery({ horizonDays: 8, orderLines: [order('a', 4, 2), order('b', 1, 2)] })
    problem.routes[0]!.capacityLitresOn = { [day(1)]: 160 }
    const plan = await planFor(problem)
    expect(plan.deliveries.map(({ orderLineId, dispatchOn }) => [orderLineId, dispatchOn]).sort()).toEqual([
      ['a', day(1)],
      ['b', day(2)],
    ])
  })

  it('takes no more than it has left where the usual limit is none', async () => {
    const problem = oneVesselBrewery({ horizonDays: 8, orderLines: [order('a', 4, 2)] })
    problem.routes[0]!.capacityLitresOn = { [day(1)]: 0 }
    expect(allOf(await planFor(problem))).toEqual([day(1), day(2), 'a'])
  })

  it('lets a brew wait for the next day where none is left', async () => {
    const problem = oneVesselBrewery({ batches: [], orderLines: [order('a', 5, 7)] })
    problem.sites[0]!.brewsOn = { [day(0)]: 0 }
    const plan = await planFor(problem)
    expect(plan.brews[0]?.brewOn).toBe(day(1))
    expect(plan.late?.[0]?.orderLineId).toBe('a')
  })

  it('takes so many brews where the site has none on other days', async () => {
    const problem = oneVesselBrewery({ batches: [], orderLines: [order('a', 5, 7)] })
    problem.sites[0]!.brewsPerDay = 0
    problem.sites[0]!.brewsOn = { [day(0)]: 2 }
    expect((await planFor(problem)).brews[0]?.brewOn).toBe(day(0))
  })

  it('neither fills nor transfers where it is said to take nothing more, and lets beer that is due out wait for the next', async () => {
    const problem = oneVesselBrewery({ horizonDays: 8, orderLines: [order('a', 5, 3)] })
    problem.beers[0]!.maxTankDays = 0
    problem.sites[0]!.noFillsOn = [day(0)]
    const plan = await planFor(problem)
    expect(plan.dumped).toEqual([])
    expect(plan.fillRuns[0]?.on).toBe(day(1))
  })

  it('is named where it is in the way of a line, and what would help is a limit of every day no more', () => {
    const problem = brightVesselBrewery({ horizonDays: 6, orderLines: [order('a', 4, 2, { packId: 'keg' })] })
    problem.orderLines[0]!.latestServeOn = day(2)
    problem.sites[0]!.transfersOn = { [day(0)]: 0 }
    const { plan } = makePlan(problem, { steps: 50 })
    const [{ reasons } = { reasons: [] }] = plan.unserved
    expect(reasons.map(({ rule }) => rule)).toContain('V11')
    expect(reasons.filter(({ rule, relief }) => rule === 'V11' && relief)).toEqual([])
  })

  it('gets minutes of its own from a relief', () => {
    const problem = oneVesselBrewery({ horizonDays: 6, orderLines: [order('a', 4, 2)] })
    problem.orderLines[0]!.latestServeOn = day(2)
    problem.fillers[0]!.minutesOn = { [day(0)]: 5, [day(1)]: 0 }
    const { plan } = makePlan(problem, { steps: 50 })
    const reason = plan.unserved[0]?.reasons.find(({ relief }) => relief?.what === 'FILLER_MINUTES')
    expect(reason?.relief).toMatchObject({ amount: 15, by: day(0) })
    expect(reason && servedWith(problem, plan, 'a', reason)?.plan.unserved).toEqual([])
  })
})
