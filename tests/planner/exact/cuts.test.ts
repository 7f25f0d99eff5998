// What the exact model says in fractions: rows that only whole numbers make true leave fractions less.
import { expect, it } from 'vitest'
import type { Plan, Problem } from '../../../src/planner/documents/index.ts'
import { exactModel } from '../../../src/planner/index.ts'
import { solveLinear } from '../../../src/solver/solve-linear.ts'
import { day, oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'

/** The least cost of the model where nothing has to be whole, without what beer is left over costs. */
async function inFractions(problem: Problem): Promise<Plan['cost']> {
  const { model } = exactModel({ ...problem, costs: { ...problem.costs, unsold: 0, dumped: 0 } })
  const linear = model.build()
  linear.whole.fill(0)
  const { status, values } = await solveLinear(linear, { seconds: 20 })
  expect(status).toBe('OPTIMAL')
  if (!values) throw new Error('an optimum has values')
  return model.cost(values)
}

it('a line has a whole brew, though half of it could be filled on one day and half on the next', async () => {
  const problem = oneVesselBrewery({ batches: [], orderLines: [order('a', 4, 10)] })
  const { terms } = await inFractions(problem)
  expect(terms.unserved).toBeCloseTo(0, 4)
  expect(terms.brew).toBeCloseTo(100, 4)
})

it('a set-up serves two packs with the minutes of one day', async () => {
  // Ten minutes are two casks: four casks of two packs take two days, though each pack could have a whole day for itself.
  const problem = oneVesselBrewery({ orderLines: [order('a', 2, 3), order('b', 2, 3, { packId: 'other' })] })
  const [beer] = problem.beers
  beer!.packs.push({ ...beer!.packs[0]!, id: 'other' })
  problem.fillers[0]!.minutesPerDay = 10
  const { terms } = await inFractions(problem)
  expect(terms.setup).toBeCloseTo(20, 4)
})

it('a store that is short holds whole casks, and a route takes whole lines', async () => {
  // Casks of 40 litres: 100 litres of a store hold two of them, 150 litres of a route one line of two.
  const latestServeOn = day(3)
  const lines = [
    order('a', 1, 3, { latestServeOn }),
    order('b', 1, 3, { latestServeOn }),
    order('c', 1, 3, { latestServeOn }),
  ]
  const stored = oneVesselBrewery({
    orderLines: lines,
    stores: [{ siteId: 'yard', climate: 'COLD', capacityLitres: 100 }],
  })
  stored.accounts[0]!.maxEarlyDays = 0
  expect((await inFractions(stored)).terms.unserved).toBeCloseTo(40 * 20, 1)
  const routed = oneVesselBrewery({ orderLines: lines.map((line) => ({ ...line, quantity: 2 })) })
  routed.accounts[0]!.maxEarlyDays = 0
  routed.routes[0]!.capacityLitres = 150
  expect((await inFractions(routed)).terms.unserved).toBeCloseTo(2 * 80 * 20, 1)
})

it('a day has no half of a set-up', async () => {
  // Twenty minutes for each line, of 25 a day, though there are minutes for five eighths of both: one is a day late.
  const latest = { latestServeOn: day(4) }
  const problem = oneVesselBrewery({
    orderLines: [order('a', 2, 2, latest), order('b', 2, 2, { ...latest, packId: 'other' })],
  })
  const [beer] = problem.beers
  problem.containerTypes.push({ id: 'keg', kind: 'KEG', nominalLitres: 40, overfillFraction: 0 })
  beer!.packs.push({ ...beer!.packs[0]!, id: 'other', containerTypeId: 'keg' })
  const filler = problem.fillers[0]!
  filler.minutesPerDay = 25
  filler.setupMinutes = 10
  filler.minutesEach = { forty: 5, keg: 5 }
  const { terms } = await inFractions(problem)
  expect(terms.late).toBeCloseTo(2 * 80, 1)
})
