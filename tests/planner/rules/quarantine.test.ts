// V8 for lots: what is kept back for quality gives nothing, and a line that only it could serve says so.
import { expect, test } from 'vitest'
import type { Problem, StockLot } from '../../../src/planner/documents/index.ts'
import { checkPlan, makePlan } from '../../../src/planner/index.ts'
import { day, oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'

const LOT: StockLot = {
  ...{ id: 'lot', siteId: 'yard', packId: 'cask', quantity: 4, quarantined: false },
  ...{ filledOn: day(-5), readyOn: day(-4), bestBefore: day(30) },
}

/** A line of four casks wanted tomorrow, which only stock can serve: what is filled today is settled on day 2. */
function soldFromStock(quarantined: boolean, more: Partial<Problem> = {}): Problem {
  const line = order('a', 4, 1, { latestServeOn: day(1) })
  return { ...oneVesselBrewery({ orderLines: [line] }), stock: [{ ...LOT, quarantined }], ...more }
}

function planned(problem: Problem) {
  const { plan } = makePlan(problem, { steps: 200 })
  expect(checkPlan(problem, plan).violations).toEqual([])
  return plan
}

test('a quarantined lot gives nothing to a line, and the line says that its beer is quarantined', () => {
  expect(planned(soldFromStock(false)).unserved).toEqual([])
  const { unserved, deliveries } = planned(soldFromStock(true))
  expect(deliveries).toEqual([])
  expect(unserved).toMatchObject([{ orderLineId: 'a' }])
  expect(unserved[0]?.reasons[0]).toMatchObject({ rule: 'V8', code: 'BEER_QUARANTINED' })
})

test('quarantine is not the reason where the lot would not serve the line either', () => {
  const spoilt = { ...LOT, quarantined: true, bestBefore: day(0) }
  const [entry] = planned(soldFromStock(true, { stock: [spoilt] })).unserved
  expect(entry?.reasons.map(({ rule }) => rule)).not.toContain('V8')
})

test('a delivery that the plan in force takes from a lot is dropped once the lot is quarantined, and its line placed anew', () => {
  const later = { ...oneVesselBrewery({ orderLines: [order('a', 4, 3)] }), stock: [LOT] }
  const baseline = planned(later)
  expect(baseline.deliveries.flatMap(({ from }) => from)).toEqual([{ stockLotId: 'lot', quantity: 4 }])
  const { deliveries, fillRuns } = planned({ ...later, stock: [{ ...LOT, quarantined: true }], baseline })
  expect(fillRuns).toHaveLength(1)
  expect(deliveries.flatMap(({ from }) => from)).toEqual([{ fillRunId: fillRuns[0]?.id, quantity: 4 }])
})
