import { expect, test } from 'vitest'
import { randomFrom } from '../../seeds/random.ts'
import { randomProblem } from '../../seeds/random-problem.ts'
import { sizedProblem } from '../../seeds/sized-problem.ts'
import type { Plan, Problem } from '../../src/planner/documents/index.ts'
import { changePlan } from '../../src/records/change-plan.ts'
import { loadPlan } from '../../src/records/load-plan.ts'
import { saveSetup } from '../../src/records/save-setup.ts'
import { canonicalPlan } from '../support/canonical.ts'
import { openTestDatabase, recordStatements } from '../support/database.ts'
import { somePlan } from '../support/some-plan.ts'

const { client, clock } = await openTestDatabase()

async function stored(distributorId: string, problem: Problem, baseline: Plan): Promise<string> {
  const scenario = { distributor: { name: 'Test', timeZone: 'UTC' }, problem: { ...problem, baseline }, names: {} }
  return client.$transaction(async (tx) => (await saveSetup(tx, distributorId, scenario, clock.now())) ?? '')
}

/** A plan without the order in which its deliveries and dumps were saved, which changes need not keep. */
function unordered(plan: Plan): Plan {
  const key = (value: unknown) => JSON.stringify(value)
  const sorted = <T>(list: readonly T[]): T[] => JSON.parse(key([...list].sort((a, b) => (key(a) < key(b) ? -1 : 1))))
  return { ...canonicalPlan(plan), deliveries: sorted(plan.deliveries), dumped: sorted(plan.dumped) }
}

/** The plan with some of its parts left out and some changed; what it names still exists. */
function edited(plan: Plan, seed: number): Plan {
  const random = randomFrom(seed)
  const keep = <T>(list: readonly T[]) => list.filter(() => random.chance(0.8))
  const brews = keep(plan.brews).map((brew) => (random.chance(0.3) ? { ...brew, litres: brew.litres / 2 } : brew))
  const planned = new Set(plan.brews.map(({ id }) => id))
  const left = new Set(brews.map(({ id }) => id))
  const stands = ({ batchId }: { batchId: string }) => !planned.has(batchId) || left.has(batchId)
  const fillRuns = keep(plan.fillRuns.filter(stands)).map((run) => (random.chance(0.3) ? { ...run, fixed: true } : run))
  const runs = new Set(fillRuns.map(({ id }) => id))
  return {
    ...plan,
    brews,
    fillRuns,
    transfers: keep(plan.transfers.filter(stands)),
    dumped: plan.dumped.filter(stands),
    deliveries: keep(plan.deliveries)
      .map((delivery) => ({
        ...delivery,
        from: delivery.from.filter(({ fillRunId }) => fillRunId === undefined || runs.has(fillRunId)),
      }))
      .filter(({ from }) => from.length > 0),
    unserved: keep(plan.unserved),
    late: keep(plan.late ?? []),
    moved: random.chance(0.5) ? [] : plan.moved,
    cost: { ...plan.cost, total: plan.cost.total + 1 },
  }
}

test.each([1, 2, 3, 4, 5, 6, 7, 8])('the rows say the new plan after any change (seed %i)', async (seed) => {
  const problem = randomProblem(seed)
  const before = somePlan(problem, seed)
  const id = `any ${seed}`
  const planId = await stored(id, problem, before)
  const steps = [edited(before, seed), before, somePlan(problem, seed + 100), edited(before, seed + 1)]
  let current = before
  for (const next of steps) {
    await client.$transaction((tx) => changePlan(tx, id, planId, current, next))
    const loaded = await loadPlan(client, id, planId)
    expect(unordered(loaded)).toEqual(unordered(next))
    current = loaded
  }
})

test('a change of one line leaves the rows of the others, in a fixed number of statements', async () => {
  const problem = sizedProblem({ lines: 300, vessels: 10, days: 40, seed: 1, today: '2027-03-01' })
  const before = somePlan(problem, 1)
  const planId = await stored('one line', problem, before)
  const where = { distributorId: 'one line', planId }
  const rowsBefore = await client.delivery.findMany({ where })
  const [first] = before.deliveries
  const touched = ({ orderLineId }: { orderLineId: string }) => orderLineId === first?.orderLineId
  const after = {
    ...before,
    deliveries: before.deliveries.map((d) =>
      touched(d) ? { ...d, dispatchOn: '2027-03-02', serveOn: '2027-03-30' } : d,
    ),
  }
  const { statements } = await recordStatements(() =>
    client.$transaction((tx) => changePlan(tx, 'one line', planId, before, after)),
  )
  expect(statements.length).toBeLessThan(20)
  const rowsAfter = await client.delivery.findMany({ where })
  expect(rowsAfter.filter((row) => !touched(row))).toEqual(rowsBefore.filter((row) => !touched(row)))
  expect(rowsAfter.filter(touched)).toMatchObject([{ n: rowsBefore.length + 1 }])
})

test('changing a plan into itself writes its cost and nothing else', async () => {
  const problem = randomProblem(3)
  const plan = somePlan(problem, 3)
  const planId = await stored('itself', problem, plan)
  const { statements } = await recordStatements(() =>
    client.$transaction((tx) => changePlan(tx, 'itself', planId, plan, structuredClone(plan))),
  )
  expect(statements.filter((sql) => /^\s*INSERT/.test(sql))).toEqual([])
})

test('a run of a planned brew stays its own where a batch that was emptied has the id of the brew', async () => {
  const problem = sizedProblem({ lines: 100, vessels: 20, days: 40, seed: 2, today: '2027-03-01' })
  const before = somePlan(problem, 1)
  const planId = await stored('emptied', problem, before)
  const brewIds = new Set(before.brews.map(({ id }) => id))
  const run = before.fillRuns.find(({ batchId }) => brewIds.has(batchId))
  const other = problem.vessels.find(({ id }) => before.brews.every((brew) => brew.vesselId !== id))
  if (!run || !other) throw new Error('something is filled from a brew, and a vessel takes none')
  const distributorId = 'emptied'
  await client.batch.create({
    data: {
      ...{ distributorId, id: run.batchId, code: 'OLD', beerId: problem.beers[0]?.id ?? '', siteId: other.siteId },
      ...{ vesselId: other.id, vesselKind: other.kind, litres: 0 },
      ...{ readyAt: clock.now(), emptiedOn: new Date('2027-02-01') },
    },
  })
  const after = {
    ...before,
    fillRuns: before.fillRuns.map((each) => (each === run ? { ...run, quantity: run.quantity + 1 } : each)),
  }
  await client.$transaction((tx) => changePlan(tx, distributorId, planId, before, after))
  const where = { distributorId_planId_id: { distributorId, planId, id: run.id } }
  expect(await client.fillRun.findUniqueOrThrow({ where })).toMatchObject({ brewId: run.batchId, batchId: null })
  expect(unordered(await loadPlan(client, distributorId, planId))).toEqual(unordered(after))
})
