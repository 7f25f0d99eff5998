// What becomes of beer that is left over: it is kept where that costs no more than dumping it.
import { describe, expect, it } from 'vitest'
import { makePlan } from '../../../src/planner/index.ts'
import { solveExactly } from '../../../src/solver/solve-exactly.ts'
import { oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'

/** Four of five casks are wanted: 40 litres are left over. Dumped and unsold litres cost what is said. */
const leftOver = (costs: { dumped: number; unsold: number }) =>
  oneVesselBrewery({ orderLines: [order('a', 4, 9)], costs })

describe('beer that is left over', () => {
  it.each([
    { dumped: 5, unsold: 2, terms: { dumped: 0, unsold: 80 } },
    { dumped: 2, unsold: 2, terms: { dumped: 0, unsold: 80 } },
    { dumped: 1, unsold: 2, terms: { dumped: 40, unsold: 0 } },
  ])(
    'where dumping costs $dumped a litre and keeping $unsold, it costs $terms, in the exact model too',
    async ({ terms, ...costs }) => {
      const problem = leftOver(costs)
      const { plan } = makePlan(problem, { steps: 100 })
      expect(plan.cost.terms).toMatchObject(terms)
      const { status, cost } = await solveExactly(problem, { timeLimitSeconds: 20 })
      expect({ status, cost }).toEqual({ status: 'OPTIMAL', cost: expect.closeTo(plan.cost.total, 2) })
    },
  )
})
