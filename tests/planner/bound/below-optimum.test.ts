// Bounds are valid always: none is above the proven optimum of a small problem. The optimum is HiGHS's, of the exact model.
import { describe, expect, it } from 'vitest'
import { randomFrom } from '../../../seeds/random.ts'
import { randomProblem } from '../../../seeds/random-problem.ts'
import { tinyProblem } from '../../../seeds/small-problem.ts'
import { instantBound } from '../../../src/planner/bound/instant-bound.ts'
import { wholePart } from '../../../src/planner/bound/parts.ts'
import { COST_TERMS, DEFAULT_COSTS, type Problem } from '../../../src/planner/documents/index.ts'
import { relaxedBound } from '../../../src/solver/relaxed-bound.ts'
import { solveExactly } from '../../../src/solver/solve-exactly.ts'
import { day, oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'
import { LONG, sampled, WHOLE } from '../../support/sampled.ts'
import { above, aggregatedBound, wholeBound } from './relaxed-bounds.ts'

/** Seeds of problems that are solved exactly within half a second; the random ones are of many kinds. */
const RANDOM_SEEDS = [1, 2, 6, 14, 19, 23, 32, 43, 44, 46, 49, 51, 54, 61, 66, 69, 74, 76, 77, 80]
const TINY_SEEDS = [0, 1, 2, 6, 7, 8, 9, 10, 11, 12, 13, 14, 16, 17, 18, 22, 23]

/** The problem at other costs: each term from nothing to three times its default. */
function atOtherCosts(problem: Problem, seed: number): Problem {
  const random = randomFrom(seed).fork('costs')
  const costs = COST_TERMS.map((term) => [term, random.pick([0, 0.3, 1, 3]) * DEFAULT_COSTS[term]] as const)
  return { ...problem, costs: Object.fromEntries(costs) }
}

const QUICK = [
  ...TINY_SEEDS.map((seed) => ({ name: `tiny ${seed}`, problem: tinyProblem(seed), seed })),
  ...RANDOM_SEEDS.map((seed) => ({ name: `random ${seed}`, problem: randomProblem(seed), seed })),
]
const ALL = [
  ...QUICK.map((one) => ({ ...one, usualCosts: true })),
  ...QUICK.filter((_, index) => index % 3 === 0).map(({ name, problem, seed }) => ({
    name: `${name} at other costs`,
    problem: atOtherCosts(problem, seed),
    seed,
    usualCosts: false,
  })),
]
const PROBLEMS = sampled(ALL, 5, 10)

/** Shares of the optimum that the three bounds reach at the usual costs, problem by problem. */
const reached: { perLine: number; aggregated: number; whole: number }[] = []

async function holdToOptimum({ name, problem, usualCosts }: (typeof PROBLEMS)[number], index: number): Promise<void> {
  const perLine = instantBound(wholePart(problem)).value
  // The exact plan is valid, so that its cost is no less than the optimum, also where a slow machine leaves it unproved.
  const { cost } = await solveExactly(problem, { timeLimitSeconds: 20 })
  expect(cost, name).toBeLessThan(Number.POSITIVE_INFINITY)
  const bucketDays = index % 3 === 0 ? 3 : 1
  const aggregated = await aggregatedBound(problem, bucketDays)
  const whole = await wholeBound(problem, bucketDays)
  for (const value of [perLine, aggregated, whole]) expect(value, name).toBeLessThanOrEqual(above(cost))
  if (cost > 0 && usualCosts)
    reached.push({ perLine: perLine / cost, aggregated: aggregated / cost, whole: whole / cost })
}

describe('no bound is above the optimum', () => {
  const size = 8
  const groups = Array.from({ length: Math.ceil(PROBLEMS.length / size) }, (_, group) => ({
    group,
    problems: PROBLEMS.slice(group * size, (group + 1) * size),
    names: PROBLEMS.slice(group * size, (group + 1) * size).map(({ name }) => name),
  }))
  it.each(groups)(
    'of $names',
    async ({ group, problems }) => {
      // Two at a time: each is solved on a thread of its own.
      for (let first = 0; first < problems.length; first += 2)
        await Promise.all(
          problems.slice(first, first + 2).map((one, n) => holdToOptimum(one, group * size + first + n)),
        )
    },
    240_000,
  )

  it('and on the whole each is near it', () => {
    const mean = (share: (one: (typeof reached)[number]) => number) =>
      reached.reduce((sum, one) => sum + share(one), 0) / reached.length
    expect(reached.length).toBeGreaterThan(LONG ? 30 : WHOLE ? 6 : 2)
    expect(mean(({ perLine }) => perLine)).toBeGreaterThan(0.75)
    expect(mean(({ aggregated }) => aggregated)).toBeGreaterThan(0.82)
    expect(mean(({ whole }) => whole)).toBeGreaterThan(0.88)
  })
})

describe('bounds worked out by hand', () => {
  it('counts the whole cost of a line that nothing else stands in the way of, but the share of its last brew', async () => {
    // 160 litres of a ready batch of 200: one set-up of at most 200 litres, one drop, 40 litres left.
    const problem = oneVesselBrewery({ orderLines: [order('a', 4, 3)] })
    expect(instantBound(wholePart(problem)).value).toBeCloseTo(0.8 * 10 + 5 + 40 * 2, 2)
  })

  it('knows that a beer which must be brewed first is late', () => {
    // Ready on day 5, settled on day 7: a line for day 6 is a day late. 200 litres of the 200 that a brew gives.
    const problem = oneVesselBrewery({ batches: [], orderLines: [order('a', 5, 6)] })
    expect(instantBound(wholePart(problem)).value).toBeCloseTo(100 + 200 * 2 + (10 * 200) / 400 + 5, 1)
  })

  it('draws nothing from a vessel that has been open for too long', () => {
    // Opened two days ago for one day: lost (200 × 2). Brewed tomorrow, ready on day 6, fit on 7, settled on 8, five days
    // late (160 × 2 × 5); four fifths of a brew of 200 litres, a set-up shared by 400, a drop.
    const problem = oneVesselBrewery({ orderLines: [order('a', 4, 3)] })
    problem.beers[0]!.maxOpenDays = 1
    problem.batches[0]!.openedOn = day(-2)
    expect(instantBound(wholePart(problem)).value).toBeCloseTo(400 + 1600 + 80 + 4 + 5, 0)
  })

  it('knows that too little beer for one cask lets nothing be filled before the next brew is ready', () => {
    // Brewed tomorrow, ready on day 6; two casks a day, so that the last is fit on day 8 and settled on 9: a day late.
    const problem = oneVesselBrewery({ orderLines: [order('a', 4, 8)] })
    problem.batches[0]!.litres = 30
    problem.fillers[0]!.minutesPerDay = 10
    expect(instantBound(wholePart(problem)).value).toBeGreaterThan(160 * 2 + 30 * 2)
  })

  it('knows that a line which may not be split is not served from half of what it needs', () => {
    const bound = (splittable: boolean) => {
      const problem = oneVesselBrewery({ orderLines: [order('a', 4, 3, { splittable })] })
      problem.batches[0]!.litres = 80
      problem.sites[0]!.brewsPerDay = 0
      return instantBound(wholePart(problem)).value
    }
    expect(bound(false)).toBeCloseTo(160 * 20 + 80 * 2, 0)
    expect(bound(true)).toBeLessThan(80 * 20 + 100)
  })

  it('serves a line as a whole or not at all, with whole brews', async () => {
    // Five casks for two lines of three: one is left, 80 litres stay. Both could share a drop.
    const problem = oneVesselBrewery({ orderLines: [order('a', 3, 3), order('b', 3, 3)] })
    problem.sites[0]!.brewsPerDay = 0
    expect(await wholeBound(problem, 1)).toBeCloseTo(120 * 20 + 80 * 2 + 10 + 5 / 2, 1)
    expect(await aggregatedBound(problem, 1)).toBeLessThan(40 * 20 + 100)
  })

  it('gives beers that are wanted on the same days vessels of their own', async () => {
    // One tank, two beers, both wanted on day 9 and not later: one of them is brewed.
    const problem = oneVesselBrewery({ batches: [] })
    const [beer] = problem.beers
    problem.beers.push({ ...beer!, id: 'stout', packs: [{ ...beer!.packs[0]!, id: 'stout cask' }] })
    const latestServeOn = day(9)
    problem.orderLines = [
      order('a', 3, 9, { latestServeOn }),
      order('b', 3, 9, { latestServeOn, packId: 'stout cask' }),
    ]
    expect(await wholeBound(problem, 1)).toBeGreaterThan(120 * 20 + 100)
    // Even fractions of a brew need as large a fraction of the tank.
    expect(await aggregatedBound(problem, 1)).toBeGreaterThan(120 * 20)
  })

  it('rises with the relaxation where two lines want the filler on the same day', async () => {
    const problem = oneVesselBrewery({
      orderLines: [order('a', 2, 2), order('b', 2, 2)],
    })
    problem.fillers[0]!.minutesPerDay = 10 // two casks a day
    problem.today = '2027-06-08' // so that they can be filled on one day only in time
    const perLine = instantBound(wholePart(problem))
    const relaxed = await relaxedBound(wholePart(problem), { seconds: 20, wholeBrews: false })
    expect(relaxed.kind).toBe('AGGREGATED')
    expect(relaxed.value - perLine.value).toBeGreaterThan(80 * 2 - 1)
  })
})

it('falls back to the bound per line where the solver has no time', async () => {
  const problem = tinyProblem(3)
  const bound = await relaxedBound(wholePart(problem), { seconds: 0, wholeBrews: true })
  expect(bound).toEqual(instantBound(wholePart(problem)))
})
