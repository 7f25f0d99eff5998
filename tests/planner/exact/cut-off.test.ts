// The exact model on order cut-offs (B6), worked out by hand.
import { expect, it } from 'vitest'
import { checkPlan } from '../../../src/planner/index.ts'
import { solveExactly } from '../../../src/solver/solve-exactly.ts'
import { day, oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'

it.each([
  // Four casks wanted on day 3; they settle for a day, so that they leave on day 2 at the latest.
  { placedAt: `${day(1)}T15:00:00Z`, late: 0, what: 'in time for day 2' },
  { placedAt: `${day(1)}T15:01:00Z`, late: 160 * 2, what: 'a day late' },
  { placedAt: `${day(2)}T15:01:00Z`, late: 160 * 2 * 2, what: 'two days late' },
])('serves an order that was placed at $placedAt $what', async ({ placedAt, late }) => {
  const problem = oneVesselBrewery({ horizonDays: 8, orderLines: [order('a', 4, 3, { placedAt })] })
  problem.routes[0]!.cutOff = { daysBefore: 1, at: '15:00' }
  const { status, plan } = await solveExactly(problem, { timeLimitSeconds: 30 })
  expect(status).toBe('OPTIMAL')
  expect(checkPlan(problem, plan!).violations).toEqual([])
  expect(plan!.unserved).toEqual([])
  expect(plan!.cost.terms.late).toBeCloseTo(late, 2)
})
