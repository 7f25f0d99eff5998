// The large data set for tests and benchmarks: generated from a fixed seed, the same for the same day.
import type { LocalDate } from '../src/planner/documents/index.ts'
import type { Scenario } from '../src/records/scenario.ts'
import { sizedProblem } from './sized-problem.ts'

const SEED = 20_270_301

/** 5,000 open order lines, 100 vessels at four sites, 90 days; tanks, fillers, fleets and routes loaded as usual (0.7). */
export function largeScenario(today: LocalDate): Scenario {
  const problem = sizedProblem({ lines: 5000, vessels: 100, days: 90, seed: SEED, tightness: 0.7, today })
  const named = (list: readonly { id: string }[], prefix: string) =>
    Object.fromEntries(list.map(({ id }, index) => [id, { name: id, externalRef: `${prefix}-${index + 1}` }]))
  return {
    distributor: { name: 'Tallowmoor Breweries (generated)', timeZone: 'Europe/London' },
    problem,
    names: {
      accounts: named(problem.accounts, 'C'),
      packs: named(
        problem.beers.flatMap((beer) => beer.packs),
        'P',
      ),
    },
  }
}
