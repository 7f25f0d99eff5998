// The moves of the search: what they do can be taken back, and brews in other vessels serve what they served.
import { expect, it } from 'vitest'
import { PROBLEM_KINDS, randomProblem } from '../../../seeds/random-problem.ts'
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import { compile } from '../../../src/planner/search/compile.ts'
import { construct } from '../../../src/planner/search/construct.ts'
import { Journal } from '../../../src/planner/search/journal.ts'
import { makeWay } from '../../../src/planner/search/make-way.ts'
import { changeSome } from '../../../src/planner/search/moves.ts'
import { seeded } from '../../../src/planner/search/random.ts'
import { revessel } from '../../../src/planner/search/revessel.ts'
import { openState } from '../../../src/planner/search/standing.ts'
import type { State } from '../../../src/planner/search/state.ts'
import { trace } from './trace.ts'

function tightPlan(seed: number): State {
  const state = openState(compile(sizedProblem({ lines: 60, vessels: 6, days: 42, seed, tightness: 0.85 })))
  construct(state, 0)
  return state
}

it.each(PROBLEM_KINDS)('leave no trace in %s problems once they are undone', (kind) => {
  const state = openState(compile(randomProblem(5, kind)))
  construct(state, 0)
  const before = trace(state)
  const random = seeded(5)
  for (let step = 0; step < 100; step++) {
    const journal = new Journal(state)
    changeSome(state, random, journal, new Set())
    journal.undo()
  }
  expect(trace(state)).toEqual(before)
})

it('put brews into other vessels without a change to what is served, when and from which fills', () => {
  const served = (state: State) =>
    state.placements.map((placement) =>
      placement?.deliveries.map(({ route, dispatch, serve, runs, lots }) => ({
        ...{ route, dispatch, serve, lots },
        runs: runs.map(({ filler, day, pack, quantity }) => ({ filler, day, pack, quantity })),
      })),
    )
  let moved = 0
  for (const seed of [1, 2, 3]) {
    const state = tightPlan(seed)
    const before = served(state)
    const random = seeded(seed)
    for (let step = 0; step < 200; step++) {
      const journal = new Journal(state)
      const vessels = state.batches.flat().map((batch) => [batch.beer, batch.brewOn, batch.fermenter].join())
      if (!revessel(state, random, journal)) journal.undo()
      else {
        moved++
        expect(state.batches.flat().map((batch) => [batch.beer, batch.brewOn, batch.fermenter].join())).not.toEqual(
          vessels,
        )
      }
      expect(served(state)).toEqual(before)
    }
  }
  expect(moved).toBeGreaterThan(10)
})

it('make way for lines in trouble only, and take out nobody whom they place first', () => {
  let asked = 0
  for (const seed of [1, 2, 3]) {
    const state = tightPlan(seed)
    const random = seeded(seed)
    for (let step = 0; step < 50; step++) {
      const way = makeWay(state, random)
      if (!way) continue
      asked++
      const [line, ...besides] = way.first
      const placement = state.placements[line.index]
      const onTime = placement?.deliveries.every((delivery) => delivery.serve <= line.dueOn)
      expect(onTime && placement?.delivered === line.quantity).toBeFalsy()
      for (const each of besides) expect(state.placements[each.index]).toBeUndefined()
      for (const each of way.others) expect(way.first).not.toContain(each)
    }
  }
  expect(asked).toBeGreaterThan(20)
})
