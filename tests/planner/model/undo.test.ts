// Undo: placing lines and taking them out again, in the opposite order, leaves every resource as it was.
import { describe, expect, it } from 'vitest'
import { PROBLEM_KINDS, randomProblem } from '../../../seeds/random-problem.ts'
import { place } from '../../../src/planner/insertion/place.ts'
import { EXACT } from '../../../src/planner/insertion/policy.ts'
import { compile } from '../../../src/planner/model/compile.ts'
import { UndoLog } from '../../../src/planner/model/undo-log.ts'
import { openState } from '../../../src/planner/opening/standing.ts'
import { construct } from '../../../src/planner/search/construct.ts'
import { trace } from './trace.ts'

describe.each(PROBLEM_KINDS)('undo in %s problems', (kind) => {
  it('leaves no trace of lines that were placed, nor of lines that were taken out and placed elsewhere', () => {
    for (const seed of [11, 12, 13]) {
      const state = openState(compile(randomProblem(seed, kind)))
      const empty = trace(state)
      const log = new UndoLog(state)
      for (const line of state.model.lines) {
        const before = state.cost
        const found = place(state, line, EXACT, true)
        expect(state.cost).toBe(before)
        if (!found) continue
        log.place(found.placement)
        expect(state.cost - before).toBeCloseTo(found.searchCost, 4)
      }
      log.undo()
      expect(trace(state)).toEqual(empty)

      construct(state, 0)
      const full = trace(state)
      for (const line of state.model.lines.filter((_, index) => index % 3 === 0)) {
        const placement = state.placements[line.index]
        if (placement) log.lift(placement)
        const found = place(state, line, { ...EXACT, brewShare: 0 }, true)
        if (found) log.place(found.placement)
      }
      log.undo()
      expect(trace(state)).toEqual(full)
    }
  })
})

describe('an undo log', () => {
  const prepared = () => {
    const state = openState(compile(randomProblem(11, 'MIXED')))
    construct(state, 0)
    return { state, log: new UndoLog(state), before: trace(state) }
  }

  it('makes again what it took back', () => {
    const { state, log, before } = prepared()
    const placed = state.placements.filter((each) => each !== undefined)
    for (const placement of placed.slice(0, 3)) log.lift(placement)
    const first = state.model.lines[0]!
    for (const surplus of [...state.surpluses]) log.unstock(surplus)
    if (state.placements[0]) log.lift(state.placements[0])
    log.leave(first)
    const after = trace(state)
    log.undo()
    expect(trace(state)).toEqual(before)
    expect([state.model.lines[0], state.model.indexOf.line.get(first.id)]).toEqual([first, 0])
    log.redo()
    expect(trace(state)).toEqual(after)
    expect(state.model.lines).not.toContain(first)
    log.undo()
    log.undo()
    expect(trace(state)).toEqual(before)
  })

  it('takes back what came after a mark, and never makes that again', () => {
    const { state, log, before } = prepared()
    const [one, other] = state.placements.filter((each) => each !== undefined)
    if (!one || !other) throw new Error('the plan serves two lines')
    log.lift(one)
    const since = trace(state)
    const { mark } = log
    log.lift(other)
    log.undoTo(mark)
    expect(trace(state)).toEqual(since)
    log.undo()
    expect(trace(state)).toEqual(before)
    log.redo()
    expect(trace(state)).toEqual(since)
  })

  it('forgets what it took back once something else is done', () => {
    const { state, log } = prepared()
    const names = new Map([['a', 1]])
    log.put(names, 'a', 2)
    log.undo()
    log.put(names, 'b', 3)
    log.redo()
    expect([...names]).toEqual([
      ['a', 1],
      ['b', 3],
    ])
    log.put(names, 'a', undefined)
    log.swap(state.model, 'frozenUntil', 9)
    expect([names.has('a'), state.model.frozenUntil]).toEqual([false, 9])
    log.undo()
    expect([...names]).toEqual([['a', 1]])
    expect(state.model.frozenUntil).not.toBe(9)
  })
})
