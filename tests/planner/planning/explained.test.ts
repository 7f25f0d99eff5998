// A plan that was found without the search becomes one of the planner's: with its reasons, at the same cost.
import { expect, it } from 'vitest'
import { randomBaselineEvent } from '../../../seeds/baseline-event.ts'
import { tinyProblem } from '../../../seeds/small-problem.ts'
import type { Problem } from '../../../src/planner/documents/index.ts'
import { adoptPlan, makePlan } from '../../../src/planner/index.ts'
import { solveExactly } from '../../../src/solver/solve-exactly.ts'
import { sampled } from '../../support/sampled.ts'

const fresh = [0, 1, 2, 6, 7, 8, 10, 11, 13, 14].map((seed) => ({ name: `tiny ${seed}`, problem: tinyProblem(seed) }))
const replanned = [0, 2, 7, 10, 14, 18].map((seed) => {
  const problem = tinyProblem(seed)
  const after = randomBaselineEvent(problem, makePlan(problem, { steps: 50 }).plan, seed)
  return { name: `tiny ${seed} replanned`, problem: after }
})
const given: { name: string; problem: Problem }[] = [...sampled(fresh, 2, 3), ...sampled(replanned, 2, 3)]

it.each(given)(
  'the exact plan of $name costs the same in the planner, which says why lines wait',
  async ({ problem }) => {
    const { plan: exact, status } = await solveExactly(problem, { timeLimitSeconds: 20 })
    if (status === 'HELD' || !exact) return
    const adopted = adoptPlan(problem, exact)
    expect(adopted.cost.total).toBeCloseTo(exact.cost.total, 1)
    for (const { reasons } of [...adopted.unserved, ...(adopted.late ?? []), ...(adopted.moved ?? [])]) {
      expect(reasons.length).toBeGreaterThan(0)
      expect(reasons.map(({ code }) => code)).not.toContain('AS_RECORDED')
    }
  },
)
