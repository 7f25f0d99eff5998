// How good a plan of a small brewery is: the exact model proves it, in the job that a query begins and in a draft.
import { expect, test } from 'vitest'
import { makePlan } from '../../../src/planner/index.ts'
import { draftPlan } from '../../../src/resolvers/plans/draft-plan.ts'
import { planBound } from '../../../src/resolvers/plans/plan-bound.ts'
import { oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'
import { openPlannedBrewery } from '../../support/planned-demo.ts'

// Few days, so that the proof takes no time on a busy machine either.
const problem = oneVesselBrewery({ horizonDays: 8, orderLines: [order('a', 4, 3)] })
const { actor, client } = await openPlannedBrewery(problem, makePlan(problem, { steps: 1000 }).plan)

test('of the plan in force of a small brewery a job finds that no plan costs less', async () => {
  const { id, costTotal } = await client.plan.findFirstOrThrow({ where: { status: 'IN_FORCE' } })
  expect(await planBound(actor, id)).toEqual({
    ...{ lowerBound: null, boundKind: 'PENDING', gap: null },
    unavoidable: null,
  })
  await actor.jobs.settled()
  const bound = await planBound(actor, id)
  expect(bound).toMatchObject({ lowerBound: costTotal, boundKind: 'EXACT', gap: 0 })
  const { ofBeers, together, open } = bound!.unavoidable!
  expect(ofBeers).toBeGreaterThan(0)
  expect([ofBeers + together, open]).toEqual([expect.closeTo(costTotal!, 6), 0])
})

test('a draft that is allowed seconds is stored with the proof, before they are over', {
  timeout: 120_000,
}, async () => {
  const started = performance.now()
  const { id } = await draftPlan(actor, { effort: { seconds: 60 } })
  await actor.jobs.settled()
  expect(performance.now() - started).toBeLessThan(45_000)
  const row = await client.plan.findFirstOrThrow({ where: { id } })
  expect(row).toMatchObject({ status: 'DRAFT', lowerBound: row.costTotal, boundKind: 'EXACT', gap: 0 })
  expect(row.progress).toMatchObject({ boundKind: 'EXACT' })
})
