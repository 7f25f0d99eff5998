// What is said to be unavoidable is paid by every plan: of each line, of each beer, and in sum.
import { describe, expect, it } from 'vitest'
import { PROBLEM_KINDS, randomProblem } from '../../../seeds/random-problem.ts'
import { tinyProblem } from '../../../seeds/small-problem.ts'
import { readInstance } from '../../../src/planner/bound/instance.ts'
import { instantBound } from '../../../src/planner/bound/instant-bound.ts'
import { wholePart } from '../../../src/planner/bound/parts.ts'
import { beersAlone, type Unavoidable, unavoidableOf } from '../../../src/planner/bound/unavoidable.ts'
import type { Plan, Problem } from '../../../src/planner/documents/index.ts'
import { makePlan } from '../../../src/planner/index.ts'
import { boundByBeer } from '../../../src/solver/relaxed-bound.ts'
import { solveExactly } from '../../../src/solver/solve-exactly.ts'
import { SolverThread } from '../../../src/solver/solve-linear.ts'
import { day, oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'
import { LONG, sampled } from '../../support/sampled.ts'
import { above } from './relaxed-bounds.ts'

const alone = (problem: Problem): Unavoidable => unavoidableOf(beersAlone(wholePart(problem)))
const sum = (parts: readonly { cost: number }[]) => parts.reduce((total, { cost }) => total + cost, 0)

/** The same with what the solver finds of each beer. */
async function solved(problem: Problem): Promise<Unavoidable> {
  const whole = wholePart(problem)
  const beers = beersAlone(whole)
  const before = instantBound(whole)
  const solver = new SolverThread()
  const options = { seconds: 20, before, solver, onBound: () => undefined }
  const { value } = await boundByBeer(beers, options).finally(() => solver.close())
  const unavoidable = unavoidableOf(beers)
  expect(value).toBeGreaterThanOrEqual(sum(unavoidable.beers))
  return unavoidable
}

/** What a plan pays for the lateness and the unserved litres of a line. */
function paidFor(problem: Problem, plan: Plan, orderLineId: string): number {
  const { lines, at } = readInstance(problem)
  const { facts, lateRate, unservedRate, dueOn } = lines.find(({ line }) => line.id === orderLineId)!
  const unserved = plan.unserved.find((one) => one.orderLineId === orderLineId)?.quantity ?? 0
  const late = plan.deliveries
    .filter((one) => one.orderLineId === orderLineId)
    .map(
      ({ serveOn, from }) => Math.max(0, at(serveOn) - dueOn) * from.reduce((all, { quantity }) => all + quantity, 0),
    )
  return facts.nominal * (unservedRate * unserved + lateRate * late.reduce((all, days) => all + days, 0))
}

/** The problem as if there were no other beer. */
function onlyOf(problem: Problem, beerId: string): Problem {
  const beers = problem.beers.filter(({ id }) => id === beerId)
  const packs = new Set(beers.flatMap((beer) => beer.packs.map(({ id }) => id)))
  return {
    ...problem,
    beers,
    batches: problem.batches.filter((batch) => batch.beerId === beerId),
    stock: problem.stock.filter(({ packId }) => packs.has(packId)),
    orderLines: problem.orderLines.filter(({ packId }) => packs.has(packId)),
  }
}

function holdToPlan(problem: Problem, plan: Plan, { lines, beers }: Unavoidable): void {
  for (const { orderLineId, cost } of lines)
    expect(cost, orderLineId).toBeLessThanOrEqual(paidFor(problem, plan, orderLineId))
  expect(sum(beers)).toBeLessThanOrEqual(above(plan.cost.total))
  for (const { cost, lines: ofLines, left } of beers) expect(ofLines + left).toBeLessThanOrEqual(cost)
}

describe('no plan avoids what is unavoidable', () => {
  it.each(sampled(PROBLEM_KINDS, 1, 3))('of a random problem of the kind %s', { timeout: 120_000 }, async (kind) => {
    for (const seed of LONG ? [700, 800] : [700]) {
      const problem = randomProblem(seed + PROBLEM_KINDS.indexOf(kind), kind)
      const { plan } = makePlan(problem, { steps: 100 })
      holdToPlan(problem, plan, alone(problem))
      if (problem.orderLines.length <= 15) holdToPlan(problem, plan, await solved(problem))
    }
  })

  it.each(sampled([1, 2, 6, 9, 12], 1, 2))('of the tiny problem %i, proven', { timeout: 120_000 }, async (seed) => {
    const problem = tinyProblem(seed)
    const { plan } = await solveExactly(problem, { timeLimitSeconds: 20 })
    const unavoidable = await solved(problem)
    holdToPlan(problem, plan!, unavoidable)
    for (const { beerId, cost } of unavoidable.beers) {
      const { cost: least } = await solveExactly(onlyOf(problem, beerId), { timeLimitSeconds: 20 })
      expect(cost, beerId).toBeLessThanOrEqual(above(least))
    }
  })
})

describe('worked out by hand', () => {
  it('a line whose beer must be brewed first is late', () => {
    // Ready on day 5, settled on day 7: a line for day 6 is a day late, 200 litres at 2.
    const problem = oneVesselBrewery({ batches: [], orderLines: [order('a', 5, 6)] })
    const { lines, beers } = alone(problem)
    expect(lines).toEqual([{ orderLineId: 'a', cost: expect.closeTo(400, 1), daysLate: 1 }])
    expect(beers).toEqual([
      { beerId: problem.beers[0]!.id, cost: expect.closeTo(510, 1), lines: expect.closeTo(400, 1), left: 0 },
    ])
  })

  it('a line that no day can serve is not served, and costs its litres', () => {
    const problem = oneVesselBrewery({ batches: [], orderLines: [order('a', 5, 6, { latestServeOn: day(6) })] })
    expect(alone(problem).lines).toEqual([{ orderLineId: 'a', cost: expect.closeTo(4000, 1), daysLate: null }])
  })

  it('a line that may be served on time costs nothing by itself, and beer that no line asks for is left', () => {
    const problem = oneVesselBrewery({ orderLines: [order('a', 4, 3)] })
    const { lines, beers } = alone(problem)
    expect(lines).toEqual([])
    expect(beers).toMatchObject([{ lines: 0, left: expect.closeTo(40 * 2, 1) }])
  })

  it('two lines that stand in each other’s way cost their beer more than each alone', async () => {
    // Five casks for two lines of three, and nothing can be brewed.
    const problem = oneVesselBrewery({ orderLines: [order('a', 3, 3), order('b', 3, 3)] })
    problem.sites[0]!.brewsPerDay = 0
    expect(alone(problem).lines).toEqual([])
    expect((await solved(problem)).beers[0]?.cost).toBeGreaterThan(120 * 20 + 80 * 2)
  })
})

it('adds up to no more than the lines of a brewery with many of them name, the dearest first', () => {
  const orderLines = Array.from({ length: 60 }, (_, n) => order(`line ${n}`, 1 + (n % 5), 1))
  const { lines, beers } = alone(oneVesselBrewery({ batches: [], orderLines }))
  expect(lines).toHaveLength(50)
  expect(lines.map(({ cost }) => cost)).toEqual(lines.map(({ cost }) => cost).toSorted((a, b) => b - a))
  expect(beers[0]!.lines).toBeGreaterThan(sum(lines))
})
