// How a search may look for sources otherwise than a promise does, on the brewery of one fermenter: days in a vessel and
// before a brew that cost something, and transfers that leave the fermenter early.
import { expect, it } from 'vitest'
import type { Problem } from '../../../src/planner/documents/index.ts'
import { place } from '../../../src/planner/insertion/place.ts'
import { EXACT, type InsertionPolicy, insertionPolicy } from '../../../src/planner/insertion/policy.ts'
import type { RunTake } from '../../../src/planner/model/batch.ts'
import { compile } from '../../../src/planner/model/compile.ts'
import type { State } from '../../../src/planner/model/state.ts'
import { openState } from '../../../src/planner/opening/standing.ts'
import { day, oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'

/** Places a line of the problem, the first of which is number 0, and answers the only run that it takes from. */
function runOf(state: State, line: number, policy: InsertionPolicy): RunTake {
  const found = place(state, state.model.lines[line]!, policy)
  if (!found) throw new Error(`line ${line} found no place`)
  state.apply(found.placement)
  const runs = found.placement.deliveries.flatMap((each) => each.runs)
  expect(runs).toHaveLength(1)
  return runs[0]!
}

/** A line that is filled on day 3 at the latest, and one that may be filled up to day 7; a set-up costs nothing. */
function twoLines(): Problem {
  const problem = oneVesselBrewery({ orderLines: [order('soon', 1, 5), order('later', 1, 9)] })
  problem.beers[0]!.setupWeight = 0
  problem.accounts[0]!.maxEarlyDays = 0 // so that they cannot share a drop
  return problem
}

it('fills a later line on a day on which its batch is drawn anyway where days in a vessel have a price', () => {
  const days = [0, 1000].map((vesselDayPrice) => {
    const state = openState(compile(twoLines()))
    expect(runOf(state, 0, EXACT).day).toBe(3)
    return runOf(state, 1, insertionPolicy({ vesselDayPrice })).day
  })
  expect(days).toEqual([7, 3])
})

it('still fills on a later day what no earlier day can serve, whatever a day in a vessel costs below what the line is worth', () => {
  const problem = twoLines()
  problem.sites[0]!.fillWeekdays = [4, 1] // days 3 and 7
  problem.sites[0]!.noFillsOn = [day(0)]
  problem.fillers[0]!.minutesPerDay = 5 // a cask a day
  const state = openState(compile(problem))
  expect(runOf(state, 0, EXACT).day).toBe(3)
  expect(runOf(state, 1, insertionPolicy({ vesselDayPrice: 1 })).day).toBe(7)
})

/** Of the two lines the later one is kegged from a bright vessel. */
function kegsLater(): Problem {
  const problem = twoLines()
  const [tank] = problem.vessels
  problem.vessels.push({ ...tank!, id: 'bright', kind: 'BRIGHT', minFillLitres: 0 })
  const [beer] = problem.beers
  const [cask] = beer!.packs
  beer!.packs.push({ ...cask!, id: 'keg', drawFrom: 'BRIGHT' })
  problem.orderLines[1]!.packId = 'keg'
  return problem
}

it('moves a batch on the last day of its draws from the fermenter, or as late as its fill allows', () => {
  const days = [true, false].map((earlyTransfers) => {
    const state = openState(compile(kegsLater()))
    expect(runOf(state, 0, EXACT).day).toBe(3)
    const { day: filledOn, transferOn } = runOf(state, 1, insertionPolicy({ earlyTransfers }))
    return [transferOn, filledOn]
  })
  expect(days).toEqual([
    [3, 7],
    [7, 7],
  ])
})

it('brews sooner, for an earlier fill day, where days for which a vessel waits have a price', () => {
  const problem = oneVesselBrewery({ orderLines: [order('far', 6, 38)], horizonDays: 42 })
  problem.batches = []
  const [late, soon] = [0, 10].map((vesselDayPrice) => {
    const run = runOf(openState(compile(problem)), 0, insertionPolicy({ vesselDayPrice }))
    return { filledOn: run.day, brewedOn: run.batch.brewOn }
  })
  expect(soon!.brewedOn).toBeLessThan(late!.brewedOn)
  expect(soon!.filledOn).toBeLessThan(late!.filledOn)
})
