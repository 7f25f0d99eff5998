// The bounds of a problem's sites add up to a bound of the problem: never above a plan that is known, nor above the relaxation of all
// sites together, whatever lines are priced at that several sites can serve.
import { expect, it } from 'vitest'
import { PROBLEM_KINDS, randomProblem } from '../../../seeds/random-problem.ts'
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import type { Problem } from '../../../src/planner/documents/index.ts'
import { type Bound, type BoundKind, instantBound, makePlan, wholePart } from '../../../src/planner/index.ts'
import { boundBySite } from '../../../src/solver/relaxed-bound.ts'
import { oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'
import { LONG, sampled } from '../../support/sampled.ts'
import { above, aggregatedBound, boundsBySite } from './relaxed-bounds.ts'

/** Random problems of a kind that have several sites, each of which can serve every account. */
function withSites(kind: (typeof PROBLEM_KINDS)[number], most: number): Problem[] {
  const found: Problem[] = []
  for (let seed = 2000; seed < 2400 && found.length < most; seed++) {
    const problem = randomProblem(seed, kind)
    if (problem.sites.length < 2 || problem.orderLines.length > 25) continue
    const routeIds = problem.routes.map(({ id }) => id)
    found.push({ ...problem, accounts: problem.accounts.map((account) => ({ ...account, routeIds })) })
  }
  return found
}

async function holdTo(problem: Problem, steps: number): Promise<void> {
  const cost = above(makePlan(problem, { steps }).plan.cost.total)
  const bucketDays = problem.orderLines.length > 60 ? 3 : 1
  const together = await aggregatedBound(problem, bucketDays)
  for (const price of ['AS_ALWAYS', 'NOTHING', 'UNSERVED'] as const) {
    const { aggregated, perLine } = await boundsBySite(problem, bucketDays, price)
    expect(perLine, price).toBeLessThanOrEqual(cost)
    expect(aggregated, price).toBeLessThanOrEqual(cost)
    expect(aggregated, price).toBeLessThanOrEqual(above(together))
  }
}

it.each(sampled(PROBLEM_KINDS, 1, 3))('of problems of the kind %s', { timeout: 120_000 }, async (kind) => {
  for (const problem of withSites(kind, LONG ? 5 : 1)) await holdTo(problem, 150)
})

it('and reaches most of what all sites together do', { timeout: 120_000 }, async () => {
  const problem = sizedProblem({ lines: 40, vessels: 24, days: 21, seed: 1, tightness: 0.85 })
  expect(problem.sites).toHaveLength(2)
  const { aggregated } = await boundsBySite(problem, 3)
  expect(aggregated).toBeGreaterThan(0.9 * (await aggregatedBound(problem, 3)))
})

it('a site at which nothing can be done adds nothing', async () => {
  const problem = oneVesselBrewery({ orderLines: [order('a', 4, 3)] })
  const alone = await aggregatedBound(problem, 1)
  problem.sites.push({ ...problem.sites[0]!, id: 'empty' })
  const { aggregated } = await boundsBySite(problem, 1)
  expect(aggregated).toBeCloseTo(alone, 4)
  const known = { value: 0, kind: 'PER_LINE' } as const
  const { value } = await boundBySite(wholePart(problem), { seconds: 30, known, onBound: () => undefined })
  expect(value).toBeCloseTo(alone, 4)
})

it('rises site by site, then with whole brews, and without time the lines count alone', {
  timeout: 120_000,
}, async () => {
  const problem = sizedProblem({ lines: 25, vessels: 24, days: 21, seed: 2, tightness: 0.6 })
  const whole = wholePart(problem)
  const known = instantBound(whole)
  const heard: number[] = []
  const kinds = new Set<BoundKind>()
  const onBound = ({ value, kind }: Bound) => {
    heard.push(value)
    kinds.add(kind)
  }
  expect(await boundBySite(whole, { seconds: 0, known, onBound })).toEqual(known)
  expect(heard).toEqual([])
  const { value, kind } = await boundBySite(whole, { seconds: 60, known, onBound })
  expect([...kinds]).toEqual(['AGGREGATED', 'AGGREGATED_WHOLE_BREWS'])
  expect(kind).toBe('AGGREGATED_WHOLE_BREWS')
  expect(value).toBeGreaterThan((await boundsBySite(problem, 1)).aggregated)
  expect(heard.at(-1)).toBe(value)
  expect(heard).toEqual(heard.toSorted((a, b) => a - b))
  expect(value).toBeLessThanOrEqual(above(makePlan(problem, { steps: 100 }).plan.cost.total))
})
