// Looking for reasons and reliefs pulls at every limit; afterwards the plan, the limits and the cost are as before.
import { describe, expect, it } from 'vitest'
import { PROBLEM_KINDS, randomProblem } from '../../../seeds/random-problem.ts'
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import { explainer, explainerByPriority, PLAN_RELIEFS } from '../../../src/planner/explanation/explain.ts'
import { compile } from '../../../src/planner/model/compile.ts'
import type { State } from '../../../src/planner/model/state.ts'
import { exportPlan } from '../../../src/planner/opening/export.ts'
import { openState } from '../../../src/planner/opening/standing.ts'
import { construct } from '../../../src/planner/search/construct.ts'

function trace(state: State) {
  const { model } = state
  return structuredClone({
    plan: exportPlan(state, [], () => []),
    cost: state.cost,
    ledger: state.ledger,
    minutes: state.minutesUsed,
    clean: state.clean,
    stores: [model.stores, state.storePlan, state.storeStock],
    routes: [state.routeUsed, model.routes.map((route) => route.capacity)],
    sites: model.sites,
    vessels: model.vessels,
    beers: model.beers,
    packs: model.packs,
    fillers: model.fillers,
    frozenUntil: model.frozenUntil,
    lines: model.lines,
    stays: state.stays.map((stays) => stays.map(({ start, end, stage, vessel }) => ({ start, end, stage, vessel }))),
    batches: state.batches.map((list) =>
      list
        .map(({ serial, ready, fermenterDeadline, quarantined, primable, left, kept }) => ({
          ...{ serial, ready, fermenterDeadline, quarantined, primable, left, kept },
        }))
        .sort((a, b) => a.serial - b.serial),
    ),
  })
}

describe.each(PROBLEM_KINDS)('explaining %s problems', (kind) => {
  it('leaves the plan and its limits unchanged', () => {
    for (const seed of [3, 4]) {
      const state = openState(compile(randomProblem(seed, kind)))
      construct(state, 0)
      const before = trace(state)
      const explain = explainer(state, { trials: 2000, perLine: 200 })
      for (const line of state.model.lines) explain(line)
      expect(trace(state)).toEqual(before)
    }
  })
})

describe('an explanation that fails on the way', () => {
  it.each(['MIXED', 'BINDING_FILLERS', 'BRIGHT'] as const)('puts back every limit of %s problems', (kind) => {
    const state = openState(compile(randomProblem(4, kind)))
    construct(state, 0)
    const before = trace(state)
    let [calls, failing] = [0, Number.POSITIVE_INFINITY]
    const fail = () => {
      if (++calls >= failing) throw new Error('fails on the way')
    }
    // Asked wherever a placement is tried, with whatever is lifted then.
    Object.assign(state.constraints, { drawDays: [fail, ...state.constraints.drawDays] })
    const explainAll = () => {
      calls = 0
      const explain = explainer(state, { trials: 500, perLine: 100 })
      for (const line of state.model.lines) explain(line)
    }
    explainAll()
    const all = calls
    expect(all).toBeGreaterThan(100)
    for (let share = 1; share <= 40; share++) {
      failing = Math.ceil((all * share) / 40)
      expect(explainAll).toThrow('fails on the way')
      expect(trace(state)).toEqual(before)
    }
  })
})

describe('the effort for reliefs', () => {
  it('goes to promised lines first, and what was not looked for is said', () => {
    const state = openState(compile(sizedProblem({ lines: 40, vessels: 5, days: 35, seed: 2, tightness: 1.2 })))
    construct(state, 0)
    const { lines } = state.model
    const unserved = lines.filter((line) => !state.placements[line.index])
    const explain = explainerByPriority(state, { trials: 60, perLine: 20 })
    const sought = unserved.filter((line) =>
      explain(line).some(({ relief, code }) => relief || code === 'NO_RELIEF_FOUND' || code === 'NO_RELIEF_IN_TRIES'),
    )
    const skipped = unserved.filter((line) => explain(line).some(({ code }) => code === 'RELIEFS_NOT_SOUGHT'))
    expect(sought.length).toBeGreaterThan(0)
    expect(skipped.length).toBeGreaterThan(0)
    const rank = (line: (typeof lines)[number]) => (line.promised ? 0 : line.priority)
    expect(Math.max(...sought.map(rank))).toBeLessThanOrEqual(Math.min(...skipped.map(rank)))
  })

  it('ends with the time for it, limits after reliefs, and each line has a reason still', () => {
    const state = openState(compile(sizedProblem({ lines: 40, vessels: 5, days: 35, seed: 2, tightness: 1.2 })))
    construct(state, 0)
    const unserved = state.model.lines.filter((line) => !state.placements[line.index])
    let asked = 0
    const explain = explainer(state, { ...PLAN_RELIEFS, passed: () => (asked++ < 4 ? 0 : asked < 9 ? 0.6 : 1) })
    const reasons = unserved.slice(0, 12).map((line) => explain(line))
    const unsought = reasons.map((each) => each.some(({ code }) => code === 'RELIEFS_NOT_SOUGHT'))
    expect(unsought.slice(0, 4)).toEqual([false, false, false, false])
    for (const each of reasons.slice(4, 8)) expect(each[0]?.code).not.toBe('RELIEFS_NOT_SOUGHT')
    for (const each of reasons.slice(8)) expect(each).toEqual([{ rule: 'E1', code: 'RELIEFS_NOT_SOUGHT' }])
  })
})
