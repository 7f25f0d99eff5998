// The moves of the search: what they do can be taken back, and removal is made for lines in trouble only.
import { expect, it } from 'vitest'
import { PROBLEM_KINDS, randomProblem } from '../../../seeds/random-problem.ts'
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import { compile } from '../../../src/planner/model/compile.ts'
import { seeded } from '../../../src/planner/model/random.ts'
import type { State } from '../../../src/planner/model/state.ts'
import { UndoLog } from '../../../src/planner/model/undo-log.ts'
import { openState } from '../../../src/planner/opening/standing.ts'
import { construct } from '../../../src/planner/search/construct.ts'
import { changeSome, linesToLift } from '../../../src/planner/search/moves.ts'
import { unsatisfiedLine } from '../../../src/planner/search/ruins/by-unsatisfied.ts'
import { targetedRemoval } from '../../../src/planner/search/targeted-removal.ts'
import { oneVesselBrewery, order } from '../../support/one-vessel-brewery.ts'
import { trace } from '../model/trace.ts'

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
    const log = new UndoLog(state)
    changeSome(log, random, new Set())
    log.undo()
  }
  expect(trace(state)).toEqual(before)
})

it('make removal for lines in trouble only, and take out no line that they place first', () => {
  let asked = 0
  for (const seed of [1, 2, 3]) {
    const state = tightPlan(seed)
    const random = seeded(seed)
    for (let step = 0; step < 50; step++) {
      const removal = targetedRemoval(state, random)
      if (!removal) continue
      asked++
      const [line, ...besides] = removal.first
      if (!line) throw new Error('a targeted removal is for a line')
      const placement = state.placements[line.index]
      const onTime = placement?.deliveries.every((delivery) => delivery.serve <= line.dueOn)
      expect(onTime && placement?.delivered === line.quantity).toBeFalsy()
      for (const each of besides) expect(state.placements[each.index]).toBeUndefined()
      for (const each of removal.others) expect(removal.first).not.toContain(each)
    }
  }
  expect(asked).toBeGreaterThan(20)
})

it.each([
  { lines: 40, apart: 2 },
  { lines: 12, apart: 7 },
])(
  'lift, of $lines lines, most often some that are to be served about when a line in trouble is',
  ({ lines, apart }) => {
    const orderLines = Array.from({ length: lines }, (_, each) => order(`line-${each}`, 1, 3 + apart * each))
    const state = openState(compile(oneVesselBrewery({ orderLines, horizonDays: 90 })))
    construct(state, 0)
    const random = seeded(1)
    expect(unsatisfiedLine(state, random)).toBeUndefined()
    const last = state.model.lines.reduce((latest, line) => (line.serveOn > latest.serveOn ? line : latest))
    const shareNearLast = () => {
      const lifted = Array.from({ length: 400 }, () => linesToLift(state, random))
      return (
        lifted.filter((together) => together.some((line) => last.serveOn - line.serveOn <= 7)).length / lifted.length
      )
    }
    expect(shareNearLast()).toBeLessThan(0.6)
    const placement = state.placements[last.index]
    if (!placement) throw new Error('the line is served')
    new UndoLog(state).lift(placement)
    expect(unsatisfiedLine(state, random)).toBe(last)
    expect(shareNearLast()).toBeGreaterThan(0.75)
  },
)
