// What a day of filling leaves in a vessel, against sums from the documents alone.
import { expect, it } from 'vitest'
import { randomProblem } from '../../../seeds/random-problem.ts'
import { deriveFacts } from '../../../src/planner/facts/facts.ts'
import { vesselAfter } from '../../../src/planner/facts/vessel-after.ts'
import { makePlan } from '../../../src/planner/index.ts'

const plans = Array.from({ length: 12 }, (_, seed) => {
  const problem = randomProblem(seed)
  return deriveFacts(problem, makePlan(problem, { steps: 20 }).plan)
})

it('the loss of each setting-up stands with one of its runs', () => {
  for (const facts of plans)
    for (const setUp of facts.setUps) {
      const losses = setUp.runs.map((run) => vesselAfter(run).lossLitres)
      expect(losses.reduce((sum, each) => sum + each, 0)).toBeCloseTo(setUp.lossLitres, 9)
    }
})

it('a vessel that a run empties has no more left than the plan leaves in it, and what is moved on is what the transfer takes', () => {
  let [emptied, moved] = [0, 0]
  for (const { runs } of plans)
    for (const run of runs) {
      const { isEmptied, leftLitres, movesOn } = vesselAfter(run)
      const isLast =
        run.stay.runs.every(({ day }) => day <= run.day) && run.stay.dumps.every(({ day }) => day <= run.day)
      if (isEmptied) {
        emptied += 1
        expect(leftLitres).toBeCloseTo(Math.max(0, run.stay.leftLitres), 6)
      }
      if (movesOn && isLast) {
        moved += 1
        expect(leftLitres).toBeCloseTo(movesOn.leftLitres, 6)
        expect(movesOn.day).toBeGreaterThanOrEqual(run.day)
      }
    }
  expect(emptied).toBeGreaterThan(0)
  expect(moved).toBeGreaterThan(0)
})
