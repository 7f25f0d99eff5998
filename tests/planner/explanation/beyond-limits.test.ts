// What binds a line that no lifted limit would serve: that the beer is sold out, that no filler fills it, that it asks for
// more than there could be; never days on sale or a ready day that have nothing to do with it.
import { describe, expect, it } from 'vitest'
import type { Problem, Reason } from '../../../src/planner/documents/index.ts'
import { explainer } from '../../../src/planner/explanation/explain.ts'
import { checkPlan, makePlan } from '../../../src/planner/index.ts'
import { reopenAsMade } from '../../../src/planner/opening/reopen.ts'
import { shopBeer, shopDay, shopProblem } from '../../../tools/benchmarks/shop-problem.ts'

const CASK_LITRES = 20

/** A beer of which one batch stands and none can be brewed; others have ordered `taken` of its 10 casks. */
function lastBatch(taken: number, asked: number): Problem {
  const line = (id: string, quantity: number, priority: 1 | 3) => ({
    ...{ id, orderId: id, accountId: 'account', packId: 'pin', quantity, priority },
    ...{ serveOn: shopDay(9), latestServeOn: shopDay(9) },
  })
  const shop = shopProblem({
    horizonDays: 20,
    beers: [shopBeer('mild', ['pin'])],
    containerTypes: [{ id: 'pin', kind: 'CASK', nominalLitres: CASK_LITRES }],
    filler: { minutesPerDay: 1000, setupMinutes: 0, minutesEach: { pin: 1 } },
    orderLines: [...(taken > 0 ? [line('others', taken, 1)] : []), line('asked', asked, 3)],
    costs: { unserved: 20 },
  })
  return {
    ...shop,
    sites: shop.sites.map((site) => ({ ...site, brewWeekdays: [] })),
    batches: shop.batches.map((batch) => ({ ...batch, litres: 10 * CASK_LITRES })),
  }
}

function reasonsOf(problem: Problem): Reason[] {
  const { plan } = makePlan(problem, { steps: 0 })
  expect(checkPlan(problem, plan).violations).toEqual([])
  const unserved = plan.unserved.find(({ orderLineId }) => orderLineId === 'asked')
  return (unserved?.reasons ?? []).filter(({ relief, rule }) => !relief && rule !== 'E1')
}

describe('a beer of which no more can be brewed', () => {
  it('is said to be sold out once others have all of it', () => {
    expect(reasonsOf(lastBatch(10, 3))).toMatchObject([
      { rule: 'V9', code: 'BEER_SOLD_OUT', params: { beerId: 'mild' }, resource: { kind: 'BEER', id: 'mild' } },
    ])
  })

  it('is said to be sold out to three casks where two are left, and not to be asked for too many', () => {
    expect(reasonsOf(lastBatch(8, 3)).map(({ code }) => code)).toEqual(['BEER_SOLD_OUT'])
  })

  it('is sold while there is enough', () => {
    expect(reasonsOf(lastBatch(7, 3))).toEqual([])
  })

  it('is sold out too where no vessel may brew it', () => {
    const shop = lastBatch(10, 3)
    const problem = {
      ...shop,
      sites: shop.sites.map((site) => ({ ...site, brewWeekdays: [1, 2, 3, 4, 5] })),
      beers: shop.beers.map((beer) => ({ ...beer, vesselIds: [] })),
    }
    expect(reasonsOf(problem).map(({ code }) => code)).toEqual(['BEER_SOLD_OUT'])
  })
})

it('a pack that no filler fills is not said to have too few days on sale', () => {
  const shop = lastBatch(0, 3)
  const fillers = shop.fillers.map((filler) => ({ ...filler, minutesEach: {} }))
  expect(reasonsOf({ ...shop, fillers })).toMatchObject([
    { rule: 'L1', code: 'NO_FILLER_FILLS_IT', params: { containerTypeId: 'pin' } },
  ])
})

describe('what a reason names', () => {
  const short = (fillers: number) => {
    const shop = lastBatch(0, 3)
    const [filler] = shop.fillers
    if (!filler) throw new Error('the shop has a filler')
    const slow = Array.from({ length: fillers }, (_, n) => ({ ...filler, id: `filler ${n}`, minutesPerDay: 0 }))
    const problem = { ...shop, fillers: slow }
    const state = reopenAsMade(problem, makePlan(problem, { steps: 0 }).plan)
    // Without tries for a relief, which would name the filler that it is about.
    return state.model.lines.flatMap(explainer(state, { trials: 0, perLine: 0 })).filter(({ rule }) => rule === 'L1')
  }

  it('is the filler where only one could fill it', () => {
    expect(short(1).map(({ resource }) => resource?.id)).toEqual(['filler 0'])
  })

  it('is no filler where one of several would have to have more minutes', () => {
    expect(short(2).map(({ resource }) => resource)).toEqual([undefined])
  })
})
