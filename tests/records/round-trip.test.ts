// Problem → rows → problem and plan → rows → plan, on problems of every kind that the planner knows.
import { expect, test } from 'vitest'
import { demoScenario } from '../../seeds/demo.ts'
import { PROBLEM_KINDS, randomProblem } from '../../seeds/random-problem.ts'
import type { Problem } from '../../src/planner/documents/index.ts'
import { loadPlan } from '../../src/records/load-plan.ts'
import { loadProblem } from '../../src/records/load-problem.ts'
import { saveSetup } from '../../src/records/save-setup.ts'
import type { Scenario } from '../../src/records/scenario.ts'
import { canonicalPlan, canonicalProblem } from '../support/canonical.ts'
import { openTestDatabase } from '../support/database.ts'
import { somePlan } from '../support/some-plan.ts'

const { client, clock } = await openTestDatabase()

const unnamed = (problem: Problem): Scenario => ({
  distributor: { name: 'Test', timeZone: 'Europe/London' },
  problem,
  names: {},
})

async function throughRows(distributorId: string, scenario: Scenario) {
  return client.$transaction(async (tx) => {
    const planId = await saveSetup(tx, distributorId, scenario, clock.now())
    const loaded = await loadProblem(tx, distributorId, { today: scenario.problem.today, at: clock.now() })
    return { ...loaded, planId }
  })
}

/** Days have limits of their own by what happened on them: no set-up holds those. */
const KINDS_OF_ROWS = PROBLEM_KINDS.filter((kind) => kind !== 'DAY_LIMITS')

test.each(KINDS_OF_ROWS)('a problem of the kind %s comes back from its rows as it was', async (kind) => {
  const problem = randomProblem(PROBLEM_KINDS.indexOf(kind), kind)
  const { problem: loaded, baselineId } = await throughRows(kind, unnamed(problem))
  expect(loaded).toEqual(canonicalProblem(problem))
  expect(baselineId).toBeUndefined()
})

test.each([1, 2, 3, 4, 5, 6])(
  'a plan in force comes back decision for decision, and as the baseline without what it moved itself (seed %i)',
  async (seed) => {
    const problem = randomProblem(seed)
    const baseline = somePlan(problem, seed)
    const { problem: loaded, planId, baselineId } = await throughRows(`plan ${seed}`, unnamed({ ...problem, baseline }))
    expect(loaded).toEqual(canonicalProblem({ ...problem, baseline: { ...baseline, moved: [] } }))
    expect(baselineId).toBe(planId)
    expect(await loadPlan(client, `plan ${seed}`, planId!)).toEqual(canonicalPlan(baseline))
  },
)

test('what a baseline says about things that are gone is left out', async () => {
  const problem = randomProblem(7)
  const baseline = somePlan(problem, 7)
  const later = { ...problem, orderLines: problem.orderLines.slice(1), stock: problem.stock.slice(1) }
  const gone = new Set<string | undefined>([problem.orderLines[0]?.id, problem.stock[0]?.id])
  const { problem: loaded } = await throughRows('gone', unnamed({ ...later, baseline }))
  expect(loaded.baseline?.fillRuns).toEqual(canonicalPlan(baseline).fillRuns)
  expect(loaded.baseline?.deliveries).toEqual(
    baseline.deliveries.filter(
      ({ orderLineId, from }) =>
        !gone.has(orderLineId) && !from.some(({ stockLotId }) => stockLotId !== undefined && gone.has(stockLotId)),
    ),
  )
})

test('the demo distributor comes back as it was, and its rows carry the names and references', async () => {
  const scenario = demoScenario('2027-03-01')
  const { problem } = await throughRows('demo', scenario)
  expect(problem).toEqual(canonicalProblem(scenario.problem))
  for (const account of await client.account.findMany({ where: { distributorId: 'demo' } }))
    expect({ name: account.name, externalRef: account.externalRef ?? undefined }).toEqual({
      name: scenario.names.accounts?.[account.id]?.name,
      externalRef: scenario.names.accounts?.[account.id]?.externalRef,
    })
})

test('two distributors may use the same ids and references', async () => {
  const scenario = demoScenario('2027-03-01')
  const first = await throughRows('first', scenario)
  const second = await throughRows('second', scenario)
  expect(second.problem).toEqual(first.problem)
})
