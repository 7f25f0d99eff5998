// Plans of the planner as points of the exact model: each is a solution of it at the plan's own cost. So no bound of the model is
// above a plan.
import { expect, it } from 'vitest'
import { randomBaselineEvent } from '../../../seeds/baseline-event.ts'
import { randomProblem } from '../../../seeds/random-problem.ts'
import { smallProblem, tinyProblem } from '../../../seeds/small-problem.ts'
import type { Plan, Problem } from '../../../src/planner/documents/index.ts'
import { exactModel, makePlan, startFrom } from '../../../src/planner/index.ts'
import { solveLinear } from '../../../src/solver/solve-linear.ts'
import { oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'
import { sampled } from '../../support/sampled.ts'

/** What the model makes of a plan whose choices are all made. */
async function costInModel(problem: Problem, plan: Plan): Promise<{ status: string; objective: number | undefined }> {
  const parts = exactModel(problem)
  const point = startFrom(parts, plan)
  if (!point) return { status: 'UNKNOWN', objective: undefined }
  const model = parts.model.build()
  for (const [column, value] of point) {
    model.lower[column] = value
    model.upper[column] = value
  }
  const { status, objective } = await solveLinear(model, { seconds: 20 })
  return { status, objective }
}

const fresh = [
  ...[1, 2, 3, 4, 5, 8, 11].map((seed) => ({ name: `small ${seed}`, problem: smallProblem(seed) })),
  ...Array.from({ length: 20 }, (_, seed) => ({ name: `tiny ${seed}`, problem: tinyProblem(seed) })),
  ...[1, 2, 6, 14, 16, 17, 19, 20, 23, 24, 28, 29, 32, 35, 43, 44, 46, 49, 51, 54].map((seed) => ({
    name: `random ${seed}`,
    problem: randomProblem(seed),
  })),
]
const replanned = Array.from({ length: 20 }, (_, seed) => {
  const problem = tinyProblem(seed)
  const after = randomBaselineEvent(problem, makePlan(problem, { steps: 50 }).plan, seed)
  return { name: `tiny ${seed} replanned`, problem: after }
})

it.each(sampled([...fresh, ...replanned], 4, 8))('a plan is a solution at its own cost: $name', async ({ problem }) => {
  const { plan } = makePlan(problem, { steps: 200 })
  // What had to stay and does not is no solution.
  if (plan.moved?.some(({ reasons }) => reasons.some(({ rule }) => rule !== 'COST'))) return
  const { status, objective } = await costInModel(problem, plan)
  expect(status).toBe('OPTIMAL')
  expect(objective).toBeCloseTo(plan.cost.total, 1)
})

it('a plan that uses what the model does not have is none', () => {
  const problem = oneVesselBrewery({ orderLines: [order('a', 4, 3)] })
  const { plan } = makePlan(problem, { steps: 1 })
  const [first] = plan.deliveries
  expect(startFrom(exactModel(problem), plan)).toBeDefined()
  const elsewhere = { ...plan, deliveries: [{ ...first!, routeId: 'no route' }] }
  expect(startFrom(exactModel(problem), elsewhere)).toBeUndefined()
})
