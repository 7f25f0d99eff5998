// Whatever says what a problem's plans cost agrees: the checker, the search, the exact model and the bounds, over two thousand random
// problems of every kind, every other round of them with a plan in force after an event.
import { expect, it } from 'vitest'
import { randomBaselineEvent } from '../../../seeds/baseline-event.ts'
import { PROBLEM_KINDS, type ProblemKind, randomProblem } from '../../../seeds/random-problem.ts'
import type { Problem } from '../../../src/planner/documents/index.ts'
import { makePlan } from '../../../src/planner/index.ts'
import { sampled } from '../../support/sampled.ts'
import { disagreements } from './disagreements.ts'

const EFFORT = { steps: 60, seconds: 0.3, mostEntries: 8000 }

const ALL = Array.from({ length: 2000 }, (_, index) => ({
  seed: index,
  kind: PROBLEM_KINDS[index % PROBLEM_KINDS.length]!,
  befallen: Math.floor(index / PROBLEM_KINDS.length) % 2 === 1,
}))

function problemOf({ seed, kind, befallen }: { seed: number; kind: ProblemKind; befallen: boolean }): Problem {
  const problem = randomProblem(seed, kind)
  if (!befallen) return problem
  return randomBaselineEvent(problem, makePlan(problem, { steps: 30 }).plan, seed)
}

it.each(sampled(ALL, 3, 6))(
  'nothing disagrees about the cost of plans: $kind $seed (after an event: $befallen)',
  async (one) => {
    const { faults } = await disagreements(problemOf(one), EFFORT)
    expect(faults).toEqual([])
  },
)
