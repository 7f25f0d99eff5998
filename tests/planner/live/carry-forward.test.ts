// Whatever befalls a plan in force, the plan that is held from then on keeps all rules, also where no line lost a delivery:
// runs that fill for no line, transfers that only keep beer, and dumping hold no better than anything else.
import { describe, expect, test } from 'vitest'
import { BASELINE_EVENTS, randomBaselineEvent } from '../../../seeds/baseline-event.ts'
import { randomProblem } from '../../../seeds/random-problem.ts'
import type { Plan, Problem } from '../../../src/planner/documents/index.ts'
import { checkPlan, makePlan } from '../../../src/planner/index.ts'
import { carryForward } from '../../../src/planner/live/carry-forward.ts'
import { openLivePlan } from '../../../src/planner/live/open-live-plan.ts'
import { sampledNumbers } from '../../support/sampled.ts'

const SEEDS = sampledNumbers(1, 30, 6)

/** The rules that a plan breaks beside a baseline; its cost is not asked. */
function broken(problem: Problem, baseline: Plan, plan: Plan): string[] {
  const { violations } = checkPlan({ ...problem, baseline }, plan)
  return violations.filter(({ rule }) => rule !== 'COST').map(({ rule, message }) => `${rule}: ${message}`)
}

describe.each(BASELINE_EVENTS)('after %s', (event) => {
  test.each(SEEDS)('the plan that is held keeps all rules (seed %i)', (seed) => {
    const problem = randomProblem(seed)
    const { plan } = makePlan(problem, { steps: 30 })
    const { baseline = plan, ...after } = randomBaselineEvent(problem, plan, seed, event)
    const since = { ...after, baseline }
    const held = carryForward(since, baseline).plan
    expect(broken(after, held, { ...held, moved: [] })).toEqual([])
    // What was frozen or fixed before is so still, or is listed as moved (F1).
    if (held !== baseline) expect(broken(after, baseline, held)).toEqual([])
    expect(carryForward({ ...after, baseline: held }, held).plan).toBe(held)
    const { plan: open } = openLivePlan(since, baseline)
    expect(broken(after, open, open)).toEqual([])
    // The lines that it lost were placed where it is open: it holds as it is when it is opened from its document.
    expect(carryForward({ ...after, baseline: open }, open).plan).toBe(open)
  })
})
