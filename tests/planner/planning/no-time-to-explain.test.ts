// A plan whose reasons had no time is valid all the same: each line has one, and what calendars alone rule out is said (B5).
import { expect, it } from 'vitest'
import { BASELINE_EVENTS, randomBaselineEvent } from '../../../seeds/baseline-event.ts'
import { PROBLEM_KINDS, randomProblem } from '../../../seeds/random-problem.ts'
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import { smallProblem } from '../../../seeds/small-problem.ts'
import type { Problem } from '../../../src/planner/documents/index.ts'
import { checkPlan, makePlan } from '../../../src/planner/index.ts'
import { sampled } from '../../support/sampled.ts'

/** Reasons of the plan, of which none was looked for. */
function inNoTime(problem: Problem): string[] {
  const { plan } = makePlan(problem, { steps: 0, explaining: () => 1 })
  expect(checkPlan(problem, plan).violations).toEqual([])
  return [...plan.unserved, ...(plan.late ?? [])].flatMap(({ reasons }) => reasons.map(({ code }) => code))
}

it.each(sampled(PROBLEM_KINDS, 8))('of a problem of the kind %s', (kind) => {
  for (let seed = 900; seed < 910; seed++) inNoTime(randomProblem(seed, kind))
})

it.each(sampled(BASELINE_EVENTS, 3))('after the event %s to the plan in force', (event) => {
  const before = smallProblem(40 + BASELINE_EVENTS.indexOf(event))
  inNoTime(randomBaselineEvent(before, makePlan(before, { steps: 20 }).plan, 1, event))
})

it('of a large one, with lines that no fill and no stock could ever serve', () => {
  const codes = inNoTime(sizedProblem({ lines: 400, vessels: 20, days: 60, seed: 1, tightness: 0.85 }))
  expect(codes).toContain('RELIEFS_NOT_SOUGHT')
  expect(codes).toContain('NO_DAY_TO_FILL')
})
