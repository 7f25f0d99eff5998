// The planner's optimum on a handful of tiny problems against a general-purpose solver: HiGHS (MIT licence, a
// mixed-integer linear programming solver) on the exact day-indexed model of tools/exact, which knows nothing of the search.
import { describe, expect, it } from 'vitest'
import { tinyProblem } from '../../../seeds/small-problem.ts'
import { checkPlan, makePlan } from '../../../src/planner/index.ts'
import { solveExactly } from '../../../src/solver/solve-exactly.ts'

describe('the plan of a tiny problem', () => {
  it.each([0, 1, 2, 5, 6])('costs what the solver proves to be the least (seed %i)', async (seed) => {
    const problem = tinyProblem(seed)
    const exact = await solveExactly(problem, { timeLimitSeconds: 60 })
    expect(exact.status).toBe('OPTIMAL')
    const { plan } = makePlan(problem, { steps: 4000 })
    expect(checkPlan(problem, plan).violations).toEqual([])
    const optimum = exact.cost ?? Number.NaN
    expect(plan.cost.total).toBeLessThanOrEqual(optimum * (1 + 1e-4) + 0.01)
    // Nor does it promise more than can be: a valid plan cannot cost less than the proven least.
    expect(plan.cost.total).toBeGreaterThanOrEqual(optimum * (1 - 1e-4) - 0.01)
  })
})
