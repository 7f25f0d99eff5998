// What explains a bound is heard before the bound, and rises with it; and when the bounding thread looks for a plan, too.
import { expect, it } from 'vitest'
import { sizedProblem } from '../../seeds/sized-problem.ts'
import { smallProblem } from '../../seeds/small-problem.ts'
import { type Bound, checkPlan } from '../../src/planner/index.ts'
import { boundOnThread, sharedCost } from '../../src/solver/bound-on-thread.ts'
import type { Searched } from '../../src/solver/search-here.ts'

it('explains each bound that is found beer by beer: what the beers cost adds up to it', {
  timeout: 120_000,
}, async () => {
  const problem = sizedProblem({ lines: 40, vessels: 24, days: 21, seed: 1, tightness: 0.85 })
  const sums: number[] = []
  const heard: { bound: Bound; sum: number | undefined }[] = []
  await boundOnThread(problem, 20, {
    onUnavoidable: ({ beers }) => sums.push(beers.reduce((sum, { cost }) => sum + cost, 0)),
    onBound: (bound) => heard.push({ bound, sum: sums.at(-1) }),
  })
  expect(sums).toEqual(sums.toSorted((a, b) => a - b))
  expect(sums.at(-1)).toBeGreaterThan(sums[0]!)
  const byBeer = heard.filter(({ bound }) => bound.kind === 'PER_BEER')
  for (const { bound, sum } of byBeer) expect(sum).toBeCloseTo(bound.value, 6)
  for (const { bound, sum } of heard) expect(sum ?? 0).toBeLessThanOrEqual(bound.value + 1e-6)
})

it('searches a small problem once more where the time is too short for its exact model, and says bounds before', async () => {
  const problem = smallProblem(13)
  const heard: ('BOUND' | 'PLAN')[] = []
  const plans: Searched[] = []
  await boundOnThread(problem, 0.8, {
    mayPlan: true,
    seed: 2,
    onBound: () => heard.push('BOUND'),
    onPlan: (searched) => {
      heard.push('PLAN')
      plans.push(searched)
    },
  })
  expect(heard[0]).toBe('BOUND')
  expect(heard.at(-1)).toBe('PLAN')
  expect(plans).toHaveLength(1)
  for (const { plan } of plans) expect(checkPlan(problem, plan).violations).toEqual([])
})

it.each([
  { cost: 1e6, plans: 1, what: 'searches once more where the plan costs far more than bounds say' },
  { cost: 1, plans: 0, what: 'goes on with bounds where the plan is near them' },
  { cost: Number.POSITIVE_INFINITY, plans: 0, what: 'goes on with bounds where there is no plan yet' },
])('$what', async ({ cost, plans }) => {
  const problem = sizedProblem({ lines: 40, vessels: 24, days: 21, seed: 1, tightness: 0.85 })
  const bestCost = sharedCost()
  bestCost[0] = cost
  const found: Searched[] = []
  await boundOnThread(problem, 1.5, { mayPlan: true, bestCost, onPlan: (searched) => found.push(searched) })
  expect(found).toHaveLength(plans)
  for (const { plan } of found) expect(checkPlan(problem, plan).violations).toEqual([])
})

it('makes no plan where the effort is in steps', async () => {
  const plans: Searched[] = []
  await boundOnThread(smallProblem(13), 0.8, { onPlan: (searched) => plans.push(searched) })
  expect(plans).toEqual([])
})
