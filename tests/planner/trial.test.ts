// Trial placements on problems of every kind: they leave no trace, and the earliest day is the earliest.
import { describe, expect, test } from 'vitest'
import { randomFrom } from '../../seeds/random.ts'
import { randomProblem } from '../../seeds/random-problem.ts'
import { addDays } from '../../src/planner/days.ts'
import { holdPlan } from '../../src/planner/hold-plan.ts'
import { checkPlan, makePlan, openTrial } from '../../src/planner/index.ts'
import type { OrderLine, Problem } from '../../src/planner/problem.ts'
import { withoutLines } from '../../src/planner/without-lines.ts'

const SEEDS = Array.from({ length: 25 }, (_, index) => index + 101)

function someLines(problem: Problem, seed: number): OrderLine[] {
  const random = randomFrom(seed)
  const packs = problem.beers.flatMap((beer) => beer.packs)
  return Array.from({ length: 4 }, (_, index) => ({
    id: `new-${index}`,
    orderId: 'new',
    accountId: random.pick(problem.accounts).id,
    packId: random.pick(packs).id,
    quantity: random.int(1, 10),
    serveOn: addDays(problem.today, random.int(0, problem.horizonDays - 1)),
  }))
}

describe.each(SEEDS)('problem %i', (seed) => {
  const problem = randomProblem(seed)
  const { plan } = makePlan(problem, { steps: 20 })
  const lines = someLines(problem, seed)

  test('asking leaves no trace: what is answered, and what the plan becomes, stays the same', () => {
    const trial = openTrial(problem, plan)
    const before = { plan: trial.commit([]).plan, answers: trial.promise(lines) }
    trial.promise(lines, { earliest: true })
    trial.commit(lines)
    expect(trial.promise(lines)).toEqual(before.answers)
    expect(trial.commit([]).plan).toEqual(before.plan)
  })

  test('a line is not to be had wholly on a day before its earliest', () => {
    const trial = openTrial(problem, plan)
    for (const line of lines) {
      const [answer] = trial.promise([line], { earliest: true, unexplained: true })
      if (!answer?.serveOn || answer.served < answer.quantity || answer.serveOn <= line.serveOn) continue
      const before = trial.promise([{ ...line, latestServeOn: addDays(answer.serveOn, -1) }], { unexplained: true })
      expect(before[0]?.served).toBeLessThan(line.quantity)
    }
  })

  test('a plan that holds is held as it is', () => {
    expect(holdPlan(problem, plan).plan).toBe(plan)
  })

  test('a day later the plan holds as far as it can, and what is made of it is valid', () => {
    const frozenDays = 0
    const later: Problem = {
      ...problem,
      frozenDays,
      today: addDays(problem.today, 1),
      horizonDays: problem.horizonDays,
    }
    const held = holdPlan(later, plan).trial.commit([]).plan
    const { violations } = checkPlan({ ...later, baseline: held }, held)
    expect(violations.filter(({ rule }) => rule !== 'COST')).toEqual([])
  })

  test('a plan without a line gives it nothing, and opens as a valid plan', () => {
    const gone = plan.deliveries[0]?.orderLineId
    if (gone === undefined) return
    const left = { ...problem, orderLines: problem.orderLines.filter(({ id }) => id !== gone) }
    const { trial } = holdPlan(left, withoutLines(problem, plan, new Set([gone])))
    const { plan: without } = trial.commit([])
    expect(without.deliveries.some(({ orderLineId }) => orderLineId === gone)).toBe(false)
    const { violations } = checkPlan({ ...left, baseline: without }, without)
    expect(violations.filter(({ rule }) => rule !== 'COST')).toEqual([])
  })
})
