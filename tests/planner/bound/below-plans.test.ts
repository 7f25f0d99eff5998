// No bound is above the cost of a plan that is known, for random problems of every kind and size, and for problems with a
// plan in force: what must not move and what is charged for moving can only make plans dearer.
import { describe, expect, it } from 'vitest'
import { BASELINE_EVENTS, randomBaselineEvent } from '../../../seeds/baseline-event.ts'
import { PROBLEM_KINDS, randomProblem } from '../../../seeds/random-problem.ts'
import { smallProblem } from '../../../seeds/small-problem.ts'
import { instantBound } from '../../../src/planner/bound/instant-bound.ts'
import { wholePart } from '../../../src/planner/bound/parts.ts'
import type { Problem } from '../../../src/planner/documents/index.ts'
import { makePlan } from '../../../src/planner/index.ts'
import { sampled } from '../../support/sampled.ts'
import { above, aggregatedBound, wholeBound } from './relaxed-bounds.ts'

const STEPS = 150

async function holdToPlan(problem: Problem, cost: number): Promise<void> {
  const perLine = instantBound(wholePart(problem)).value
  expect(perLine).toBeLessThanOrEqual(above(cost))
  const aggregated = await aggregatedBound(problem, problem.orderLines.length > 60 ? 3 : 1)
  expect(aggregated).toBeLessThanOrEqual(above(cost))
  if (problem.orderLines.length <= 15) expect(await wholeBound(problem, 1)).toBeLessThanOrEqual(above(cost))
}

describe('no bound is above a plan', () => {
  it.each(sampled(PROBLEM_KINDS, 2, 3))('of a random problem of the kind %s', { timeout: 120_000 }, async (kind) => {
    const problem = randomProblem(500 + PROBLEM_KINDS.indexOf(kind), kind)
    await holdToPlan(problem, makePlan(problem, { steps: STEPS }).plan.cost.total)
  })

  it.each(sampled(BASELINE_EVENTS, 1))(
    'after the event %s to the plan in force',
    { timeout: 120_000 },
    async (event) => {
      const before = smallProblem(40 + BASELINE_EVENTS.indexOf(event))
      const problem = randomBaselineEvent(before, makePlan(before, { steps: STEPS }).plan, 1, event)
      await holdToPlan(problem, makePlan(problem, { steps: STEPS }).plan.cost.total)
    },
  )
})
