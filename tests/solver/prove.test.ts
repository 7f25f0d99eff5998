// The exact model beside the search: small problems are proven, and what it can say nothing of is left alone.
import { expect, it } from 'vitest'
import { smallProblem, tinyProblem } from '../../seeds/small-problem.ts'
import { type Bound, boundOfCost, checkPlan } from '../../src/planner/index.ts'
import { prove } from '../../src/solver/prove.ts'
import { EMPTY_PLAN } from '../support/empty-plan.ts'
import { day, oneVesselBrewery, order } from '../support/one-vessel-brewery.ts'
import { sampled } from '../support/sampled.ts'

it.each(sampled([0, 2, 7], 1, 3))(
  'a tiny problem has a plan that no other costs less than, and no bound is above it (seed %i)',
  async (seed) => {
    const problem = tinyProblem(seed)
    const heard: Bound[] = []
    const proof = await prove(problem, { seconds: 20, seed: 1, onBound: (bound) => heard.push(bound) })
    if (!proof) throw new Error('a tiny problem is small enough')
    const { plan } = proof.searched
    expect(checkPlan(problem, plan).violations).toEqual([])
    expect(boundOfCost(plan.cost.total, [proof.bound])).toEqual({ value: plan.cost.total, kind: 'EXACT' })
    for (const { value } of heard) expect(value).toBeLessThanOrEqual(plan.cost.total + 0.01)
  },
)

it('nothing is said without time, of a large problem, and where what is fixed cannot stay', async () => {
  const of = (seconds: number) => ({ seconds, seed: 1, onBound: () => undefined })
  expect(await prove(tinyProblem(0), of(0.5))).toBeUndefined()
  const large = { ...smallProblem(1), horizonDays: 400 }
  expect(await prove(large, of(20))).toBeUndefined()
  const baseline = {
    ...EMPTY_PLAN,
    brews: [{ id: 'late', beerId: 'mild', vesselId: 'tank', brewOn: day(3), litres: 900, fixed: true }],
  }
  const held = oneVesselBrewery({ orderLines: [order('a', 4, 3)], baseline })
  expect(await prove(held, of(20))).toBeUndefined()
})
