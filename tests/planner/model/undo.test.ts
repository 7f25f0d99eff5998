// Undo: placing lines and taking them out again, in the opposite order, leaves every resource as it was.
import { describe, expect, it } from 'vitest'
import { PROBLEM_KINDS, randomProblem } from '../../../seeds/random-problem.ts'
import { place } from '../../../src/planner/insertion/place.ts'
import { EXACT } from '../../../src/planner/insertion/policy.ts'
import { compile } from '../../../src/planner/model/compile.ts'
import { Journal } from '../../../src/planner/model/journal.ts'
import { openState } from '../../../src/planner/opening/standing.ts'
import { construct } from '../../../src/planner/search/construct.ts'
import { trace } from './trace.ts'

describe.each(PROBLEM_KINDS)('undo in %s problems', (kind) => {
  it('leaves no trace of lines that were placed, nor of lines that were taken out and placed elsewhere', () => {
    for (const seed of [11, 12, 13]) {
      const state = openState(compile(randomProblem(seed, kind)))
      const empty = trace(state)
      const journal = new Journal(state)
      for (const line of state.model.lines) {
        const before = state.cost
        const found = place(state, line, EXACT, true)
        expect(state.cost).toBe(before)
        if (!found) continue
        journal.place(found.placement)
        expect(state.cost - before).toBeCloseTo(found.searchCost, 4)
      }
      journal.undo()
      expect(trace(state)).toEqual(empty)

      construct(state, 0)
      const full = trace(state)
      for (const line of state.model.lines.filter((_, index) => index % 3 === 0)) {
        const placement = state.placements[line.index]
        if (placement) journal.lift(placement)
        const found = place(state, line, { ...EXACT, brewShare: 0 }, true)
        if (found) journal.place(found.placement)
      }
      journal.undo()
      expect(trace(state)).toEqual(full)
    }
  })
})
