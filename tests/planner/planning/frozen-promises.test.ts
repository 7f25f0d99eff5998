// Within the frozen days a promised line is not served on an earlier day than the plan in force says: those who are to have the
// beer have made ready for that day (F1 as customers see it; the rule itself lets deliveries change on any day).
import { describe, expect, it } from 'vitest'
import { BASELINE_EVENTS, randomBaselineEvent } from '../../../seeds/baseline-event.ts'
import { PROBLEM_KINDS, randomProblem } from '../../../seeds/random-problem.ts'
import type { Plan, Problem } from '../../../src/planner/documents/index.ts'
import { addDays } from '../../../src/planner/documents/index.ts'
import { checkPlan, makePlan } from '../../../src/planner/index.ts'
import { openCarried } from '../../../src/planner/live/carry-forward.ts'

/** Days between the wanted and the promised day. */
const LATER = 3

/** A problem whose lines are promised some days after their serve day, with a plan that serves them by the promise. */
function promisedLater(seed: number, kind: (typeof PROBLEM_KINDS)[number]): { problem: Problem; plan: Plan } {
  const random = randomProblem(seed, kind)
  const wanted = random.orderLines.map((line) => ({ ...line, latestServeOn: undefined }))
  const dated = wanted.map((line) => ({ ...line, serveOn: addDays(line.serveOn, LATER) }))
  const { plan } = makePlan({ ...random, orderLines: dated }, { steps: 30, seed })
  const orderLines = wanted.map((line) => ({ ...line, promisedOn: addDays(line.serveOn, LATER) }))
  return { problem: { ...random, orderLines }, plan }
}

const firstServe = (plan: Plan, id: string) =>
  plan.deliveries
    .filter(({ orderLineId }) => orderLineId === id)
    .map(({ serveOn }) => serveOn)
    .sort()[0]

/** Promised lines that `plan` serves on an earlier day, within the frozen days, than the baseline and the promise say. */
function broughtForward(problem: Problem, baseline: Plan, plan: Plan): string[] {
  const frozen = addDays(problem.today, problem.frozenDays)
  return problem.orderLines.flatMap(({ id, promisedOn }) => {
    const [was, is] = [firstServe(baseline, id), firstServe(plan, id)]
    if (promisedOn === undefined || was === undefined || is === undefined) return []
    return is < was && is < promisedOn && is < frozen ? [`${id}: ${was} to ${is}`] : []
  })
}

/** Prices that make an earlier day worth having: beer costs while it waits, and nothing has to stay. */
const COSTS = { standing: 5, churn: 0, drop: 200 }

describe.each(PROBLEM_KINDS)('new plans of %s problems', (kind) => {
  it('bring no promised line forward within the frozen days, and are valid', () => {
    for (const seed of [1, 2]) {
      const { problem, plan } = promisedLater(seed, kind)
      const again = { ...problem, frozenDays: 12, baseline: plan, costs: COSTS }
      const { plan: anew } = makePlan(again, { steps: 60, seed })
      expect(checkPlan(again, anew).violations).toEqual([])
      expect(broughtForward(again, plan, anew)).toEqual([])
    }
  })
})

describe.each(BASELINE_EVENTS)('after %s', (event) => {
  it('neither a new plan nor the plan in force as it holds brings a promised line forward within the frozen days', () => {
    for (const kind of ['MIXED', 'BRIGHT', 'OVERLOAD'] as const) {
      for (const seed of [1, 2, 3]) {
        const { problem, plan } = promisedLater(seed, kind)
        const after = { ...randomBaselineEvent(problem, plan, seed, event), frozenDays: 12, costs: COSTS }
        const baseline = after.baseline ?? plan
        expect(broughtForward(after, baseline, makePlan(after, { steps: 40, seed }).plan)).toEqual([])
        expect(broughtForward(after, baseline, openCarried(after, baseline).plan)).toEqual([])
      }
    }
  })
})

it('without frozen days promised lines may come forward: the prices of this test make that worth while', () => {
  let forward = 0
  for (const kind of PROBLEM_KINDS) {
    const { problem, plan } = promisedLater(1, kind)
    const { plan: anew } = makePlan({ ...problem, frozenDays: 0, baseline: plan, costs: COSTS }, { steps: 60 })
    forward += broughtForward({ ...problem, frozenDays: 12 }, plan, anew).length
  }
  expect(forward).toBeGreaterThan(10)
})
