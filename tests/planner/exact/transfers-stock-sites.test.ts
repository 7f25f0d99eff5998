// The exact model on cases worked out by hand: transfers to a bright vessel, priming, stock, and two sites. Costs are the
// defaults of section 8; the arithmetic stands beside each case.
import { describe, expect, it } from 'vitest'
import type { Plan, Problem } from '../../../src/planner/documents/index.ts'
import { COST_TERMS } from '../../../src/planner/documents/index.ts'
import { checkPlan, parseProblem } from '../../../src/planner/index.ts'
import { solveExactly } from '../../../src/solver/solve-exactly.ts'
import { oneVesselBrewery as brewery, brightVesselBrewery, day, order } from '../../support/one-vessel-brewery.ts'
import { WHOLE } from '../../support/sampled.ts'

/** Ten days are enough for all of this, and quicker to solve. */
const oneVesselBrewery = (change: Partial<Problem>) => brewery({ horizonDays: 10, ...change })

/** The optimum's plan and its cost terms that are not 0. */
async function optimum(problem: Problem): Promise<{ plan: Plan; terms: Record<string, number> }> {
  expect(parseProblem(problem)).toMatchObject({ ok: true })
  const { status, plan } = await solveExactly(problem, { timeLimitSeconds: 30 })
  expect(status).toBe('OPTIMAL')
  expect(checkPlan(problem, plan!).violations).toEqual([])
  const terms = COST_TERMS.map((term) => [term, Math.round(plan!.cost.terms[term] * 100) / 100] as const)
  return { plan: plan!, terms: Object.fromEntries(terms.filter(([, amount]) => amount > 0)) }
}

/** Six days are enough for a transfer and what comes of it. */
const withBrightVessel = (change: Partial<Problem> = {}) => brightVesselBrewery({ horizonDays: 6, ...change })

const kegs = (id: string, quantity: number, serveOn: number) => order(id, quantity, serveOn, { packId: 'keg' })

describe('transfers', () => {
  it('moves all that is left in time for the days that the bright vessel wants', async () => {
    // 4 × 50 litres are all 200; moved by day 1, filled and served on day 3.
    const { terms, plan } = await optimum(withBrightVessel({ orderLines: [kegs('a', 4, 3)] }))
    expect(terms).toEqual({ setup: 10, drop: 5 })
    expect(plan.transfers).toMatchObject([{ batchId: 'gyle', toVesselId: 'bright' }])
    expect(plan.transfers[0]!.litres).toBeCloseTo(200, 2)
    expect(plan.transfers[0]!.on <= day(1)).toBe(true)
  })

  it('is late where the bright days are longer than the time that is left', async () => {
    // Moved today, filled on day 2: 200 litres one day late.
    const { terms } = await optimum(withBrightVessel({ orderLines: [kegs('a', 4, 1)] }))
    expect(terms).toEqual({ late: 200 * 2, setup: 10, drop: 5 })
  })

  it('serves no one from a bright vessel that wants more beer than there is', async () => {
    const problem = withBrightVessel({ orderLines: [kegs('a', 2, 3)] })
    problem.vessels[1]!.minFillLitres = 250
    problem.sites[0]!.brewsPerDay = 0 // or a larger batch could be brewed
    const { terms } = await optimum(problem)
    expect(terms).toEqual({ unserved: 100 * 20, unsold: 200 * 2 })
  })

  it('serves no one from a bright vessel of a site that starts no transfers (V11)', async () => {
    const problem = withBrightVessel({ orderLines: [kegs('a', 2, 3)] })
    problem.sites[0]!.transfersPerDay = 0
    problem.sites[0]!.brewsPerDay = 0
    const { terms } = await optimum(problem)
    expect(terms).toEqual({ unserved: 100 * 20, unsold: 200 * 2 })
  })

  it('moves on the next day what a day has no transfer left for (V11)', async () => {
    const problem = withBrightVessel({ orderLines: [kegs('a', 4, 2)] })
    problem.sites[0]!.transfersOn = { [day(0)]: 0 }
    const { terms, plan } = await optimum(problem)
    expect(terms).toEqual({ late: 200 * 2, setup: 10, drop: 5 })
    expect(plan.transfers[0]!.on).toBe(day(1))
  })

  it('draws casks before the transfer and kegs after it, and lets both wait a day to share a drop', async () => {
    // Casks on day 0, then 120 litres over, kegs on day 2, both dispatched on day 2: casks could be served a day before
    // (80 litres), so could kegs (100); 20 litres stay. Two drops would cost 5 more than these 3.60.
    const orderLines = [order('casks', 2, 3), kegs('kegs', 2, 3)]
    const { terms, plan } = await optimum(withBrightVessel({ orderLines }))
    expect(terms).toEqual({ setup: 20, drop: 5, standing: 3.6, unsold: 20 * 2 })
    expect(plan.transfers[0]!.litres).toBeCloseTo(120, 2)
  })
})

describe.runIf(WHOLE)('priming', () => {
  function primed(change: Partial<Problem> = {}): Problem {
    const problem = oneVesselBrewery({ orderLines: [order('a', 4, 6)], ...change })
    Object.assign(problem.beers[0]!.packs[0]!, { primed: true, primingWindowDays: 1 })
    return problem
  }

  it('fills a primed cask while its yeast lives, and lets it wait', async () => {
    // Ready yesterday: filled today, could be served on day 2, is on day 6: 160 litres × 4 days × 0.02.
    const { terms, plan } = await optimum(primed())
    expect(terms).toEqual({ setup: 10, drop: 5, standing: 12.8, unsold: 40 * 2 })
    expect(plan.fillRuns.map(({ on }) => on)).toEqual([day(0)])
  })

  it('dumps a batch that cannot be primed to brew one that can', async () => {
    // Dumped today (200 × 5), brewed on day 1, ready on 6, fit on 7, settled on 8: 160 litres two days late. To leave the
    // line would cost 160 × 20 and the beer in the tank 200 × 2.
    const problem = primed()
    problem.batches[0]!.primable = false
    const { terms, plan } = await optimum(problem)
    expect(terms).toEqual({ dumped: 1000, brew: 100, setup: 10, drop: 5, late: 160 * 2 * 2 })
    expect(plan.brews).toMatchObject([{ brewOn: day(1) }])
  })
})

describe.runIf(WHOLE)('stock', () => {
  const lot = (bestBefore: number) => ({
    id: 'lot',
    siteId: 'yard',
    packId: 'cask',
    quantity: 3,
    filledOn: day(-5),
    readyOn: day(-4),
    bestBefore: day(bestBefore),
    quarantined: false,
  })

  it('takes three casks from stock where that costs less than to set up and fill', async () => {
    // Could be served on day 1 from today: 120 litres × 2 days × 0.02; the tank keeps its 200 litres.
    const problem = oneVesselBrewery({ stock: [lot(20)], orderLines: [order('a', 3, 3)] })
    const { terms, plan } = await optimum(problem)
    expect(terms).toEqual({ drop: 5, standing: 4.8, unsold: 200 * 2 })
    expect(plan.deliveries[0]!.from).toEqual([{ stockLotId: 'lot', quantity: 3 }])
  })

  it('fills anew where the stock is past its best on the serve day, and empties that', async () => {
    const problem = oneVesselBrewery({ stock: [lot(2)], orderLines: [order('a', 3, 3)] })
    const { terms } = await optimum(problem)
    expect(terms).toEqual({ dumped: 120 * 5, setup: 10, drop: 5, unsold: 80 * 2 })
  })

  it('completes a line from stock by a fill', async () => {
    // Only 40 litres are in the tank: three casks of stock wait two days, the fourth is filled in time.
    const problem = oneVesselBrewery({ stock: [lot(20)], orderLines: [order('a', 4, 3)] })
    problem.batches[0]!.litres = 40
    const { terms } = await optimum(problem)
    expect(terms).toEqual({ setup: 10, drop: 5, standing: 4.8 })
  })

  it('takes nothing from a quarantined lot, which is unsold', async () => {
    // As above, but the three casks of stock stay: they and the tank's last 80 litres are unsold.
    const problem = oneVesselBrewery({ stock: [{ ...lot(20), quarantined: true }], orderLines: [order('a', 3, 3)] })
    const { terms } = await optimum(problem)
    expect(terms).toEqual({ setup: 10, drop: 5, unsold: (120 + 80) * 2 })
  })

  it('keeps the room of a quarantined lot until its best before, the day after which it is emptied', async () => {
    // The store has room for what is ordered once the lot is gone: emptied on day 3 (120 × 5), filled then, fit on day 4,
    // settled on 5; were the lot not there the line could be served on day 3.
    const problem = oneVesselBrewery({ stock: [{ ...lot(2), quarantined: true }], orderLines: [order('a', 3, 3)] })
    problem.stores = [{ siteId: 'yard', climate: 'COLD', capacityLitres: 120 }]
    const { terms, plan } = await optimum(problem)
    expect(plan.fillRuns.map(({ on }) => on)).toEqual([day(3)])
    expect(terms).toEqual({ late: 120 * 2 * 2, dumped: 120 * 5, setup: 10, drop: 5, unsold: 80 * 2 })
  })
})

describe.runIf(WHOLE)('two sites', () => {
  /** A second site two days away with a tank, a batch and a filler of its own; the first one's beer is quarantined. */
  function twoSites(serveOn: number): Problem {
    const problem = oneVesselBrewery({ orderLines: [order('a', 4, serveOn)] })
    problem.sites.push({ ...problem.sites[0]!, id: 'barn' })
    problem.vessels.push({ ...problem.vessels[0]!, id: 'barn tank', siteId: 'barn' })
    problem.fillers.push({ ...problem.fillers[0]!, id: 'barn filler', siteId: 'barn' })
    problem.routes.push({ ...problem.routes[0]!, id: 'far', siteId: 'barn', transitDays: 2 })
    problem.accounts[0]!.routeIds.push('far')
    problem.batches[0]!.quarantined = true
    problem.batches.push({ ...problem.batches[0]!, id: 'barn gyle', vesselId: 'barn tank', quarantined: false })
    return problem
  }

  it('fills where the beer is, two days of transit before', async () => {
    // Filled on day 2, fit on 3, there on 5, settled on 6; 40 litres stay in the barn and 200 in the yard.
    const { terms, plan } = await optimum(twoSites(6))
    expect(terms).toEqual({ setup: 10, drop: 5, unsold: 240 * 2 })
    expect(plan.fillRuns).toMatchObject([{ fillerId: 'barn filler', on: day(2), batchId: 'barn gyle' }])
    expect(plan.deliveries).toMatchObject([{ routeId: 'far', dispatchOn: day(3) }])
  })

  it('is late by the transit that is missing', async () => {
    // Filled today, fit on 1, there on 3, settled on 4: 160 litres one day late.
    const { terms } = await optimum(twoSites(3))
    expect(terms).toEqual({ late: 160 * 2, setup: 10, drop: 5, unsold: 240 * 2 })
  })
})
