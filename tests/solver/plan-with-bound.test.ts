import { expect, test } from 'vitest'
import { smallProblem, tinyProblem } from '../../seeds/small-problem.ts'
import { makePlan } from '../../src/planner/index.ts'
import { FaultyProblem } from '../../src/solver/make-plan-on-thread.ts'
import { planWithBound } from '../../src/solver/plan-with-bound.ts'
import { type PlanProgress, progressShape, progressWords } from '../../src/solver/progress.ts'
import { sharePlans } from '../../src/solver/share-plans.ts'
import { WHOLE } from '../support/sampled.ts'

const problem = smallProblem(7)

test.runIf(WHOLE)(
  'of several searches the cheapest plan counts, the same each time, and no bound is above it',
  async () => {
    const heard: PlanProgress[] = []
    const effort = { steps: 40, seed: 3 }
    const { plan, bound, statistics, boundFault } = await planWithBound(problem, effort, {
      threads: 2,
      boundSeconds: 40,
      onProgress: (progress) => heard.push(progress),
    })
    const alone = [3, 4].map((seed) => makePlan(problem, { steps: 40, seed }).plan)
    const [first, second] = alone
    expect(plan).toEqual(second && first && second.cost.total < first.cost.total ? second : first)
    expect(statistics.steps).toBe(80)
    expect(boundFault).toBeUndefined()
    expect(bound?.kind).not.toBe('PER_LINE')
    expect(bound?.value).toBeLessThanOrEqual(plan.cost.total)
    expect(heard.length).toBeGreaterThan(0)
    const bounds = heard.map(({ lowerBound }) => lowerBound ?? 0)
    expect(bounds).toEqual(bounds.toSorted((a, b) => a - b))
    for (const each of heard) expect(progressShape.parse(JSON.parse(JSON.stringify(each)))).toEqual(each)
  },
)

test('without time for the solver the instant bound is given', async () => {
  const { bound } = await planWithBound(problem, { seconds: 0 })
  expect(bound?.kind).toBe('PER_LINE')
})

test('the seconds of an effort are those until the answer: what passed before the call is part of them, and a bound waits no longer', {
  timeout: 120_000,
}, async () => {
  const since = performance.timeOrigin + performance.now() - 60_000
  const started = performance.now()
  const { statistics, bound } = await planWithBound(problem, { seconds: 60, since }, { boundSeconds: 60 })
  // The minute is over: there is a first plan and an instant bound. Generous, since a busy machine is slow to start threads.
  expect(statistics.steps).toBe(0)
  expect(bound?.kind).toBe('PER_LINE')
  expect(performance.now() - started).toBeLessThan(50_000)
})

test('a small problem whose seconds suffice is proven, and its answer comes before they are over', {
  timeout: 120_000,
}, async () => {
  const heard: PlanProgress[] = []
  const started = performance.now()
  const { plan, bound, statistics } = await planWithBound(
    tinyProblem(2),
    { seconds: 60 },
    { onProgress: (progress) => heard.push(progress) },
  )
  expect(performance.now() - started).toBeLessThan(45_000)
  expect(bound).toEqual({ value: plan.cost.total, kind: 'EXACT' })
  expect(statistics.steps).toBeGreaterThan(0)
  expect(heard.at(-1)).toMatchObject({ lowerBound: plan.cost.total, boundKind: 'EXACT', bestCost: plan.cost.total })
})

test('a problem with faults is refused as such, and abandoned work ends with its reason', async () => {
  await expect(planWithBound({ ...problem, horizonDays: 0 }, { steps: 1 })).rejects.toBeInstanceOf(FaultyProblem)
  const reason = new Error('not wanted any more')
  const signal = AbortSignal.abort(reason)
  await expect(planWithBound(problem, { seconds: 60 }, { signal })).rejects.toBe(reason)
})

test('the line for people says the same as the data', () => {
  const progress = { steps: 120, bestCost: 200, lowerBound: 150, boundKind: 'PER_LINE' as const, seconds: 1.25 }
  expect(progressWords(progress)).toBe('120 steps, cost 200.00, at least 150.00, gap 25.0 %, 1.3 s')
  const exact = { ...progress, lowerBound: 200, boundKind: 'EXACT' as const }
  expect(progressWords(exact)).toBe('120 steps, cost 200.00, no plan costs less, 1.3 s')
  expect(progressWords({ ...progress, lowerBound: null, boundKind: null })).toBe('120 steps, cost 200.00, 1.3 s')
})

test('a plan counts for another problem where it is valid and cheaper there, at its cost there', async () => {
  const { plan: good } = makePlan(problem, { steps: 200 })
  const { plan: poor } = makePlan(problem, { steps: 0 })
  const dear = { ...problem, costs: { brew: 500 } }
  const { plan: of } = makePlan(dear, { steps: 0 })
  const [first, second, third] = await sharePlans([
    { problem, plan: poor },
    { problem, plan: good },
    { problem: dear, plan: of },
  ])
  expect(first?.cost.total).toBeCloseTo(Math.min(poor.cost.total, good.cost.total), 1)
  expect(second?.cost.total).toBeLessThanOrEqual(good.cost.total)
  expect(third?.cost.total).toBeLessThanOrEqual(of.cost.total)
})
