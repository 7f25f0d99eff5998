// What binds a line that only stock could serve in time: that no fill can be in time, not days on sale, not its size.
import { describe, expect, it } from 'vitest'
import type { Problem } from '../../../src/planner/documents/index.ts'
import { makePlan } from '../../../src/planner/index.ts'
import { shopBeer, shopDay, shopProblem } from '../../../tools/benchmarks/shop-problem.ts'

/** A line for tomorrow, of beer that conditions for a week, beside `stock` casks that are fit to leave. */
function tomorrowFromStock(quantity: number, stock: number, others: number): Problem {
  const beer = shopBeer('mild', ['pin'])
  const line = (id: string, asked: number, priority: 1 | 3) => ({
    ...{ id, orderId: id, accountId: 'account', packId: 'pin', quantity: asked, priority },
    ...{ serveOn: shopDay(1), latestServeOn: shopDay(1) },
  })
  return {
    ...shopProblem({
      horizonDays: 30,
      beers: [{ ...beer, packs: beer.packs.map((pack) => ({ ...pack, conditioningDays: 7, shelfLifeDays: 60 })) }],
      containerTypes: [{ id: 'pin', kind: 'CASK', nominalLitres: 20 }],
      filler: { minutesPerDay: 100, setupMinutes: 0, minutesEach: { pin: 1 } },
      orderLines: [...(others > 0 ? [line('others', others, 1)] : []), line('asked', quantity, 3)],
      costs: { unserved: 20 },
    }),
    stock: [
      {
        ...{ id: 'lot', siteId: 'shop', packId: 'pin', quantity: stock, quarantined: false },
        ...{ filledOn: shopDay(-10), readyOn: shopDay(-3), bestBefore: shopDay(40) },
      },
    ],
  }
}

/** Rules that bind the line that is asked for; what only says a relief (fewer, later) is left out. */
function rulesOf(problem: Problem): string[] {
  const { plan } = makePlan(problem, { steps: 0 })
  const unserved = plan.unserved.find(({ orderLineId }) => orderLineId === 'asked')
  return (unserved?.reasons ?? []).filter(({ relief }) => !relief).map(({ rule }) => rule)
}

describe('a line that could be filled in the past only', () => {
  it('is short of time to fill and of stock where others have all the stock, not of days on sale', () => {
    const rules = rulesOf(tomorrowFromStock(2, 5, 5))
    expect(rules).toEqual(['B3', 'A2'])
  })

  it('does not ask for more than there ever is where it asks for three and one is left', () => {
    const rules = rulesOf(tomorrowFromStock(3, 1, 0))
    expect(rules).toEqual(['B3', 'A2'])
  })
})
