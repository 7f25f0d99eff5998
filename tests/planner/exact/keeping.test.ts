// The exact model's plan in force (F1, churn): optima worked out by hand, and random plans in force held against the checker
// and the planner.
import { describe, expect, it } from 'vitest'
import { randomBaselineEvent } from '../../../seeds/baseline-event.ts'
import { tinyProblem } from '../../../seeds/small-problem.ts'
import { COST_TERMS, type Plan, type Problem } from '../../../src/planner/documents/index.ts'
import { checkPlan, makePlan } from '../../../src/planner/index.ts'
import { solveExactly } from '../../../src/solver/solve-exactly.ts'
import { EMPTY_PLAN } from '../../support/empty-plan.ts'
import { brightVesselBrewery, day, oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'
import { LONG, sampled } from '../../support/sampled.ts'

const inTime = { timeLimitSeconds: 20 }

/** The optimum's plan, which the checker accepts at the model's own cost. */
async function optimum(problem: Problem): Promise<Plan> {
  const { status, plan, objective } = await solveExactly(problem, inTime)
  expect(status).toBe('OPTIMAL')
  if (!plan) throw new Error('an optimum has a plan')
  const { violations, cost } = checkPlan(problem, plan)
  expect(violations).toEqual([])
  for (const term of COST_TERMS) expect(objective!.terms[term], term).toBeCloseTo(cost.terms[term], 1)
  return plan
}

/** A plan in force of these decisions alone. */
const inForce = (decisions: Partial<Plan>): Plan => ({ ...EMPTY_PLAN, ...decisions })

const run = { id: 'monday', batchId: 'gyle', fillerId: 'filler', on: day(0), packId: 'cask', quantity: 4 }

describe('a plan in force', () => {
  it('stays under its own ids where nothing has changed', async () => {
    const problem = oneVesselBrewery({ batches: [], orderLines: [order('a', 5, 9)] })
    const before = await optimum(problem)
    const again = await optimum({ ...problem, baseline: before })
    expect(again.cost.terms.churn).toBe(0)
    expect(again.cost.total).toBeCloseTo(before.cost.total, 2)
    expect(again.brews).toMatchObject(before.brews.map(({ id, brewOn }) => ({ id, brewOn })))
  })

  it('is changed where that costs less than its churn, and kept where not', async () => {
    // Filled today, four casks wait a day for day 3: 160 × 0.02; churn at its usual price, and for nothing.
    const orderLines = [order('a', 4, 3)]
    const kept = await optimum(oneVesselBrewery({ orderLines, baseline: inForce({ fillRuns: [run] }) }))
    expect(kept.fillRuns).toMatchObject([{ id: 'monday', on: day(0) }])
    expect(kept.cost.terms).toMatchObject({ churn: 0, standing: 160 * 0.02 })
    const changed = await optimum(
      oneVesselBrewery({ orderLines, baseline: inForce({ fillRuns: [run] }), costs: { churn: 1 } }),
    )
    expect(changed.fillRuns).toMatchObject([{ on: day(1) }])
    expect(changed.fillRuns[0]?.id).not.toBe('monday')
    expect(changed.cost.terms).toMatchObject({ churn: 1, standing: 0 })
  })

  it('leaves the runs of a brew that has to be another day as they are, and its transfer', async () => {
    const problem = brightVesselBrewery({
      batches: [],
      orderLines: [order('a', 4, 9), order('b', 2, 12, { packId: 'keg' })],
    })
    problem.costs = { churn: 2000 }
    const before = await optimum(problem)
    expect([before.brews.length, before.transfers.length, before.fillRuns.length]).toEqual([1, 1, 2])
    const brewOn = before.brews[0]!.brewOn
    problem.sites[0]!.brewWeekdays = [1, 2, 3, 4, 5, 6, 7]
    problem.sites[0]!.brewsOn = { [brewOn]: 0 }
    const after = await optimum({ ...problem, baseline: before })
    expect(after.cost.terms.churn).toBe(2000)
    expect(after.brews).toMatchObject([{ id: before.brews[0]!.id }])
    expect(after.transfers).toMatchObject(before.transfers.map(({ id, on }) => ({ id, on })))
    expect(after.fillRuns.map(({ id }) => id).sort()).toEqual(before.fillRuns.map(({ id }) => id).sort())
  })

  it('keeps what is frozen or fixed exactly, at whatever cost, and fixed what was', async () => {
    const orderLines = [order('a', 1, 3)]
    const frozen = await optimum(
      oneVesselBrewery({ orderLines, frozenDays: 1, baseline: inForce({ fillRuns: [run] }), costs: { unsold: 50 } }),
    )
    expect(frozen.fillRuns).toContainEqual(run)
    const fixed = { ...run, on: day(5), quantity: 3, fixed: true }
    const later = await optimum(oneVesselBrewery({ orderLines, baseline: inForce({ fillRuns: [fixed] }) }))
    expect(later.fillRuns).toContainEqual(fixed)
  })

  it('keeps a fixed brew and transfer that nothing is drawn from', async () => {
    const brew = { id: 'next', beerId: 'mild', vesselId: 'tank', brewOn: day(2), litres: 300, fixed: true }
    const transfer = { id: 'over', batchId: 'next', toVesselId: 'bright', on: day(8), litres: 240, fixed: true }
    const plan = await optimum(brightVesselBrewery({ baseline: inForce({ brews: [brew], transfers: [transfer] }) }))
    expect(plan.brews).toMatchObject([{ id: 'next', fixed: true }])
    // Another transfer costs nothing.
    expect(plan.transfers).toContainEqual(expect.objectContaining({ id: 'over', batchId: 'next', fixed: true }))
  })

  it('lets nothing be added on a frozen day', async () => {
    // Filled on day 2 at the earliest, fit on 3, settled on 4: four casks a day late.
    const plan = await optimum(
      oneVesselBrewery({ orderLines: [order('a', 4, 3)], frozenDays: 2, baseline: inForce({}) }),
    )
    expect(plan.fillRuns).toMatchObject([{ on: day(2) }])
    expect(plan.cost.terms.late).toBeCloseTo(320, 2)
  })

  it('that cannot stay where it has to is known as such, and nothing is said of the cost', async () => {
    const closed = oneVesselBrewery({ frozenDays: 1, baseline: inForce({ fillRuns: [run] }) })
    closed.sites[0]!.closedOn = [day(0)]
    expect(await solveExactly(closed, inTime)).toMatchObject({ status: 'HELD', bound: Number.NEGATIVE_INFINITY })
    const tooMuch = oneVesselBrewery({ frozenDays: 1, baseline: inForce({ fillRuns: [{ ...run, quantity: 6 }] }) })
    expect(await solveExactly(tooMuch, inTime)).toMatchObject({ status: 'HELD', bound: Number.NEGATIVE_INFINITY })
  })
})

describe('random plans in force', () => {
  const seeds = LONG ? Array.from({ length: 60 }, (_, seed) => seed) : sampled([0, 2, 7, 10, 14, 18], 2, 6)
  it.each(seeds)(
    'are changed into plans that the checker accepts, and none of the planner costs less: tiny %i',
    async (seed) => {
      const problem = tinyProblem(seed)
      const after = randomBaselineEvent(problem, makePlan(problem, { steps: 100 }).plan, seed)
      const { status, plan, objective, bound } = await solveExactly(after, inTime)
      const ours = makePlan(after, { steps: 300 }).plan
      const held = (ours.moved ?? []).filter(({ reasons }) => reasons.some(({ rule }) => rule !== 'COST'))
      if (status === 'HELD') return expect(held.length).toBeGreaterThan(0)
      if (held.length === 0) expect(bound).toBeLessThanOrEqual(ours.cost.total * (1 + 1e-6) + 0.01)
      if (!plan) return
      const found = checkPlan(after, plan)
      expect(found.violations).toEqual([])
      if (status === 'OPTIMAL')
        for (const term of COST_TERMS) expect(objective!.terms[term], term).toBeCloseTo(found.cost.terms[term], 1)
    },
  )
})
