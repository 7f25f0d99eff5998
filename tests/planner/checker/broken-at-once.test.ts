// What is seen at once to be broken is so for the whole check, and a plan that keeps all rules is never taken for broken.
import { expect, test } from 'vitest'
import { isBrokenAtOnce } from '../../../src/planner/checker/broken-at-once.ts'
import { checkPlan, costIfValid, planCost } from '../../../src/planner/checker/check-plan.ts'
import { basePlan } from '../base/base-plan.ts'
import { baseProblem } from '../base/base-problem.ts'
import { MUTATIONS } from './rule-mutations.ts'

test('a valid plan is not broken at once', () => {
  expect(isBrokenAtOnce(baseProblem(), basePlan())).toBe(false)
})

test.each(MUTATIONS)('of $name under $rule no more is seen at once than the whole check finds', ({ change }) => {
  const problem = baseProblem()
  const plan = basePlan()
  change(plan, problem)
  const broken = checkPlan(problem, plan).violations.map(({ rule }) => rule)
  if (isBrokenAtOnce(problem, plan))
    expect(broken.filter((rule) => ['DOCUMENT', 'V8', 'A2'].includes(rule))).not.toEqual([])
  expect(costIfValid(problem, plan)).toEqual(
    broken.every((rule) => rule === 'COST') ? planCost(problem, plan) : undefined,
  )
})

test('a batch in quarantine, a lot in quarantine and one that is less than what leaves of it are seen at once', () => {
  const plan = basePlan()
  const whole = baseProblem()
  const [run] = plan.fillRuns
  const taken = plan.deliveries.flatMap(({ from }) => from).find(({ stockLotId }) => stockLotId !== undefined)
  const batches = whole.batches.map((batch) => ({ ...batch, quarantined: batch.id === run?.batchId }))
  const lots = (change: { quarantined?: boolean; quantity?: number }) =>
    whole.stock.map((lot) => (lot.id === taken?.stockLotId ? { ...lot, ...change } : lot))
  const drawn = plan.fillRuns.some(({ batchId }) =>
    batches.some(({ id, quarantined }) => quarantined && id === batchId),
  )
  expect(isBrokenAtOnce({ ...whole, batches }, plan)).toBe(drawn)
  expect(isBrokenAtOnce({ ...whole, stock: lots({ quarantined: true }) }, plan)).toBe(true)
  expect(isBrokenAtOnce({ ...whole, stock: lots({ quantity: 0 }) }, plan)).toBe(true)
  const gone = {
    ...plan,
    fillRuns: plan.fillRuns.filter(({ id }) =>
      plan.deliveries.every(({ from }) => from.every(({ fillRunId }) => fillRunId !== id)),
    ),
  }
  expect(isBrokenAtOnce(whole, gone)).toBe(true)
})
