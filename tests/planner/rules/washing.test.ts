// L4, from both sides: the search finds too few minutes for a set-up and its wash just where the check finds them missing.
import { describe, expect, it } from 'vitest'
import { randomProblem } from '../../../seeds/random-problem.ts'
import { addDays, type Plan, type Problem } from '../../../src/planner/documents/index.ts'
import { checkPlan, makePlan, servedWith } from '../../../src/planner/index.ts'
import { setupKey } from '../../../src/planner/model/batch.ts'
import { MINUTE } from '../../../src/planner/model/units.ts'
import { reopenAsMade } from '../../../src/planner/opening/reopen.ts'
import { oneVesselBrewery, order } from '../../exact/one-vessel-brewery.ts'

/** Minutes by which a case may be decided without counting: the check has a tolerance, the search has none. */
const CLOSE = 0.01

it('is refused by the search on the days on which the check finds washing too much, and on no others', () => {
  const seen = { refused: 0, allowed: 0, close: 0 }
  for (let seed = 1; seed <= 40; seed++) {
    const problem = randomProblem(seed, 'BINDING_WASHING')
    const { plan } = makePlan(problem, { steps: 30 })
    const state = reopenAsMade(problem, plan)
    const { model } = state
    for (const batch of state.batches.flat()) {
      const id = batch.standing >= 0 ? problem.batches[batch.standing]?.id : plan.brews[batch.baseline]?.id
      const [pack] = model.beers[batch.beer]?.packs ?? []
      if (id === undefined || pack === undefined) continue
      const { type, kind, id: packId } = model.packs[pack]!
      for (const filler of model.sites[batch.site]?.fillers ?? []) {
        const { each, minutes, setupMinutes } = model.fillers[filler]!
        const work = each[type] ?? Number.POSITIVE_INFINITY
        for (const day of model.sites[batch.site]?.fillDays ?? []) {
          if (!Number.isFinite(work) || batch.setupAt.has(setupKey(model, filler, day, kind))) continue
          const free = (minutes[day] ?? 0) - (state.minutesUsed[filler]?.[day] ?? 0) - work
          const without = free - (setupMinutes[batch.beer] ?? 0)
          const spare = free - state.setupWork(batch.beer, filler, day)
          // Where the run and its set-up alone are too much, it is L1 that refuses.
          if (spare === without || without < 0) continue
          if (Math.abs(spare) < CLOSE * MINUTE) {
            seen.close++
            continue
          }
          const forced = withRun(plan, id, model.fillers[filler]!.id, addDays(problem.today, day), packId)
          const broken = checkPlan(problem, forced).violations.some(
            (found) => found.rule === 'L4' && found.day === addDays(problem.today, day),
          )
          expect(spare < 0, `seed ${seed}, batch ${id}, day ${day}`).toBe(broken)
          seen[broken ? 'refused' : 'allowed']++
        }
      }
    }
  }
  expect(seen.refused).toBeGreaterThan(20)
  expect(seen.allowed).toBeGreaterThan(20)
  expect(seen.close).toBeLessThan(seen.refused)
}, 60_000)

function withRun(plan: Plan, batchId: string, fillerId: string, on: string, packId: string): Plan {
  return { ...plan, fillRuns: [...plan.fillRuns, { id: 'forced', batchId, fillerId, on, packId, quantity: 1 }] }
}

/** Two ready beers of different wash groups, a line of each for the same day, and one fill day for both: 4 × 5 minutes each. */
function twoBeers(washMinutes: number): Problem {
  const problem = oneVesselBrewery({ horizonDays: 3 })
  const [mild] = problem.beers
  const [pack] = mild!.packs
  problem.sites[0]!.fillWeekdays = [1]
  problem.vessels.push({ ...problem.vessels[0]!, id: 'second' })
  problem.beers.push({ ...mild!, id: 'sour', washGroup: 'sour', packs: [{ ...pack!, id: 'sour-cask' }] })
  problem.batches.push({ ...problem.batches[0]!, id: 'other', beerId: 'sour', vesselId: 'second' })
  problem.orderLines = [order('a', 4, 2, { priority: 1 }), order('b', 4, 2, { packId: 'sour-cask' })]
  problem.fillers = [{ ...problem.fillers[0]!, minutesPerDay: 60, washMinutes }]
  return problem
}

describe('a filler that is washed between two groups of beers', () => {
  it('fills both on a day where washing leaves the minutes for it', () => {
    expect(makePlan(twoBeers(20), { steps: 50 }).plan.unserved).toEqual([])
  })

  it('fills one where it does not; the reason says so, with the minutes that would be enough', () => {
    const problem = twoBeers(30)
    const { plan } = makePlan(problem, { steps: 50 })
    const [left] = plan.unserved
    expect(plan.unserved).toMatchObject([{ orderLineId: 'b' }])
    expect(left?.reasons.map(({ rule }) => rule)).toContain('L4')
    const relief = left?.reasons.find((reason) => reason.relief?.what === 'FILLER_MINUTES')
    // 40 minutes of filling and 30 of washing, of 60.
    expect(relief?.relief).toMatchObject({ amount: 10, unit: 'MINUTE', by: problem.today })
    expect(relief && servedWith(problem, plan, 'b', relief)?.plan.unserved).toEqual([])
  })
})
