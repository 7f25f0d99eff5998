// The plan that does nothing, on random problems of every kind: it dumps what stands, serves no line and says so. It
// keeps every rule, and its cost can be said in one line. Also: the checker's work grows with the problem, not faster.
import { describe, expect, it } from 'vitest'
import { PROBLEM_KINDS, randomProblem } from '../../../seeds/random-problem.ts'
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import { checkPlan, planCost } from '../../../src/planner/checker/check-plan.ts'
import { DEFAULT_COSTS, type Plan, type Problem, type Reason } from '../../../src/planner/documents/index.ts'
import { parsePlan, parseProblem } from '../../../src/planner/index.ts'
import { processorTime } from '../../support/processor-time.ts'
import { basePlan } from '../base/base-plan.ts'

const reasons: Reason[] = [{ rule: 'B5', code: 'AS_RECORDED', params: { words: 'Nothing is planned.' } }]

/** Dumps every batch that may be kept no longer today, and leaves the quarantined ones. */
function doNothing(problem: Problem): Plan {
  const plan: Plan = {
    brews: [],
    transfers: [],
    fillRuns: [],
    deliveries: [],
    dumped: problem.batches
      .filter(({ quarantined }) => !quarantined)
      .map(({ id, litres }) => ({ batchId: id, on: problem.today, litres })),
    unserved: problem.orderLines.map(({ id, quantity }) => ({ orderLineId: id, quantity, reasons })),
    brokenPromises: problem.orderLines.flatMap(({ id, promisedOn }) =>
      promisedOn === undefined ? [] : [{ orderLineId: id, promisedOn, now: null, reasons }],
    ),
    cost: basePlan().cost,
  }
  plan.moved = baselineDecisions(problem).map(({ kind, id }) => ({ kind, id, reasons }))
  plan.cost = planCost(problem, plan)
  return plan
}

/** Brews, transfers and runs of the baseline, from today on, not under the id of a batch that stands. */
function baselineDecisions({ baseline, batches, today }: Problem) {
  const decisions = [
    ...(baseline?.brews ?? []).map(({ id, brewOn }) => ({ kind: 'BREW' as const, id, on: brewOn })),
    ...(baseline?.transfers ?? []).map(({ id, on }) => ({ kind: 'TRANSFER' as const, id, on })),
    ...(baseline?.fillRuns ?? []).map(({ id, on }) => ({ kind: 'FILL_RUN' as const, id, on })),
  ]
  return decisions.filter(({ id, on }) => on >= today && !batches.some((batch) => batch.id === id))
}

describe('the plan that does nothing', () => {
  it.each(PROBLEM_KINDS)('keeps every rule on random problems of the kind %s', (kind) => {
    for (let seed = 1; seed <= 12; seed++) {
      const parsed = parseProblem(JSON.parse(JSON.stringify(randomProblem(seed, kind))))
      if (!parsed.ok) throw new Error(`seed ${seed} has faults: ${JSON.stringify(parsed.faults)}`)
      const { problem } = parsed
      const plan = doNothing(problem)
      expect(checkPlan(problem, plan).violations, `seed ${seed}`).toEqual([])
      expect(parsePlan(JSON.parse(JSON.stringify(plan)), problem), `seed ${seed}`).toMatchObject({ ok: true })
    }
  })

  it('costs its unserved litres, what it dumps, what is left of stock, and the decisions that it drops', () => {
    for (let seed = 1; seed <= 60; seed++) {
      const problem = randomProblem(seed)
      const cost = { ...DEFAULT_COSTS, ...problem.costs }
      const packs = new Map(problem.beers.flatMap((beer) => beer.packs).map((pack) => [pack.id, pack]))
      const litresOf = (packId: string) =>
        problem.containerTypes.find(({ id }) => id === packs.get(packId)?.containerTypeId)!.nominalLitres
      const lastDay = Date.parse(problem.today) + (problem.horizonDays - 1) * 86_400_000
      let expected = baselineDecisions(problem).length * cost.churn
      for (const { packId, quantity, promisedOn, priority } of problem.orderLines) {
        const litreCost =
          promisedOn === undefined ? cost.unserved * [4, 2, 1][(priority ?? 3) - 1]! : cost.unservedPromised
        expected += quantity * litresOf(packId) * litreCost
      }
      for (const { litres, quarantined } of problem.batches)
        expected += litres * (quarantined ? cost.unsold : cost.dumped)
      for (const { packId, quantity, bestBefore } of problem.stock)
        expected += quantity * litresOf(packId) * (Date.parse(bestBefore) < lastDay ? cost.dumped : cost.unsold)
      expect(planCost(problem, doNothing(problem)).total, `seed ${seed}`).toBeCloseTo(expected, 4)
    }
  })
})

describe('the checker’s work', () => {
  it('stays small on 5,000 lines, 100 vessels and 90 days, and on a horizon of 4,000 days', async () => {
    const large = sizedProblem({ lines: 5000, vessels: 100, days: 90, seed: 1 })
    const long = { ...sizedProblem({ lines: 2000, vessels: 40, days: 90, seed: 2 }), horizonDays: 4000 }
    for (const problem of [large, long]) {
      const plan = doNothing(problem)
      // Generous: what it takes on a quiet machine is for the benchmarks; this catches work that grows with a square.
      expect((await processorTime(() => checkPlan(problem, plan))).took).toBeLessThan(4000)
    }
  })
})
