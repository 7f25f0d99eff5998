// Kinds whose names say that a resource binds: without its limit the planner finds cheaper plans.
import { describe, expect, it } from 'vitest'
import { type ProblemKind, randomProblem } from '../../seeds/random-problem.ts'
import type { Problem } from '../../src/planner/documents/index.ts'
import { makePlan } from '../../src/planner/index.ts'

/** The problem without the limit that its kind is about. */
const LIFTED: readonly [kind: ProblemKind, lift: (problem: Problem) => Problem][] = [
  ['BINDING_FLEETS', (problem) => ({ ...problem, fleets: [] })],
  ['BINDING_STORES', (problem) => ({ ...problem, stores: [] })],
  ['OVERFULL_STORES', (problem) => ({ ...problem, stores: [] })],
  [
    'BINDING_FILLERS',
    (problem) => ({
      ...problem,
      fillers: problem.fillers.map((filler) => ({ ...filler, minutesOn: {}, minutesPerDay: 1e6 })),
    }),
  ],
  [
    'BINDING_ROUTES',
    (problem) => ({
      ...problem,
      routes: problem.routes.map(({ capacityLitres: _, ...route }) => route),
    }),
  ],
  [
    'BINDING_BREWHOUSE',
    (problem) => ({
      ...problem,
      sites: problem.sites.map(({ brewLitres: _, ...site }) => ({ ...site, brewsPerDay: 100 })),
    }),
  ],
  ['BINDING_CUT_OFFS', (problem) => ({ ...problem, routes: problem.routes.map(({ cutOff: _, ...route }) => route) })],
  [
    'BINDING_WASHING',
    (problem) => ({ ...problem, fillers: problem.fillers.map((filler) => ({ ...filler, washMinutes: 0 })) }),
  ],
  [
    'BINDING_TRANSFERS',
    (problem) => ({ ...problem, sites: problem.sites.map(({ transfersPerDay: _, ...site }) => site) }),
  ],
  [
    'DAY_LIMITS',
    (problem) => ({
      ...problem,
      sites: problem.sites.map((site) => ({ ...site, noFillsOn: [], brewsOn: {}, transfersOn: {} })),
      fillers: problem.fillers.map((filler) => ({ ...filler, minutesOn: {} })),
      routes: problem.routes.map((route) => ({ ...route, capacityLitresOn: {} })),
    }),
  ],
]
const SEEDS = Array.from({ length: 12 }, (_, index) => index * 17 + 3)

describe('binding kinds', () => {
  it.each(LIFTED)('%s: lifting the limit makes the plan cheaper for many seeds', (kind, lift) => {
    const cost = (problem: Problem) => makePlan(problem, { steps: 250 }).plan.cost.total
    const cheaper = SEEDS.filter((seed) => {
      const problem = randomProblem(seed, kind)
      return cost(lift(problem)) < 0.98 * cost(problem)
    })
    expect(cheaper.length).toBeGreaterThanOrEqual(SEEDS.length / 4)
  })
})
