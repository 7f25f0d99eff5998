// The exact model on washing between wash groups (L4), worked out by hand.
import { expect, it } from 'vitest'
import { checkPlan } from '../../../src/planner/index.ts'
import { solveExactly } from '../../../src/solver/solve-exactly.ts'
import { oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'

it.each([
  // 10 minutes for 2 casks of each beer, and the wash between: 20 + 40 of 60, and 20 + 41.
  { washMinutes: 40, washGroup: 'sour', unserved: 0 },
  { washMinutes: 41, washGroup: 'sour', unserved: 80 * 20 },
  { washMinutes: 41, washGroup: undefined, unserved: 0 },
])('leaves a beer unfilled where $washMinutes minutes of washing do not fit', async (given) => {
  const problem = oneVesselBrewery({ horizonDays: 3 })
  const [mild] = problem.beers
  problem.sites[0]!.fillWeekdays = [1]
  problem.vessels.push({ ...problem.vessels[0]!, id: 'second' })
  const { washGroup } = given
  problem.beers.push({ ...mild!, id: 'sour', washGroup, packs: [{ ...mild!.packs[0]!, id: 'sour-cask' }] })
  problem.batches.push({ ...problem.batches[0]!, id: 'other', beerId: 'sour', vesselId: 'second' })
  problem.orderLines = [order('a', 2, 2), order('b', 2, 2, { packId: 'sour-cask' })]
  problem.fillers = [{ ...problem.fillers[0]!, minutesPerDay: 60, washMinutes: given.washMinutes }]
  const { status, plan } = await solveExactly(problem, { timeLimitSeconds: 30 })
  expect(status).toBe('OPTIMAL')
  expect(checkPlan(problem, plan!).violations).toEqual([])
  expect(plan!.cost.terms.unserved).toBeCloseTo(given.unserved, 2)
})
