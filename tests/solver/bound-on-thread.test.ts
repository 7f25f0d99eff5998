// What explains a bound is heard before the bound, and rises with it.
import { expect, it } from 'vitest'
import { sizedProblem } from '../../seeds/sized-problem.ts'
import type { Bound } from '../../src/planner/index.ts'
import { boundOnThread } from '../../src/solver/bound-on-thread.ts'

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
