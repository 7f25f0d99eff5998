// L4: what a plan says of a line for whose beer a filler would have to be washed.
import { describe, expect, it } from 'vitest'
import type { Problem } from '../../../src/planner/documents/index.ts'
import { makePlan, servedWith } from '../../../src/planner/index.ts'
import { oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'

/** Two ready beers of different wash groups, a line of each for the same day, and one fill day for both: 4 × 5 minutes each. */
function twoBeers(washMinutes: number): Problem {
  const problem = oneVesselBrewery({ horizonDays: 3 })
  const [mild] = problem.beers
  const [pack] = mild!.packs
  problem.sites[0]!.fillWeekdays = [1]
  problem.vessels.push({ ...problem.vessels[0]!, id: 'second' })
  problem.beers.push({ ...mild!, id: 'sour', washGroup: 'sour', packs: [{ ...pack!, id: 'sour-cask' }] })
  problem.batches.push({ ...problem.batches[0]!, id: 'other', beerId: 'sour', vesselId: 'second' })
  problem.orderLines = [order('a', 4, 2, { priority: 1 }), order('b', 4, 2, { packId: 'sour-cask' })]
  problem.fillers = [{ ...problem.fillers[0]!, minutesPerDay: 60, washMinutes }]
  return problem
}

describe('a filler that is washed between two groups of beers', () => {
  it('fills both on a day where washing leaves the minutes for it', () => {
    expect(makePlan(twoBeers(20), { steps: 50 }).plan.unserved).toEqual([])
  })

  it('fills one where it does not; the reason says so, with the minutes that would be enough', () => {
    const problem = twoBeers(30)
    const { plan } = makePlan(problem, { steps: 50 })
    const [left] = plan.unserved
    expect(plan.unserved).toMatchObject([{ orderLineId: 'b' }])
    expect(left?.reasons.map(({ rule }) => rule)).toContain('L4')
    const relief = left?.reasons.find((reason) => reason.relief?.what === 'FILLER_MINUTES')
    // 40 minutes of filling and 30 of washing, of 60.
    expect(relief?.relief).toMatchObject({ amount: 10, unit: 'MINUTE', by: problem.today })
    expect(relief && servedWith(problem, plan, 'b', relief)?.plan.unserved).toEqual([])
  })
})
