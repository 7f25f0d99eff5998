// Lines leave and take with them the containers that they would have brought back: others make room, on problems of every kind.
import { expect, test } from 'vitest'
import { randomFrom } from '../../../seeds/random.ts'
import { randomProblem } from '../../../seeds/random-problem.ts'
import { makePlan } from '../../../src/planner/index.ts'
import { byUrgency, openCarried } from '../../../src/planner/live/carry-forward.ts'
import { PlanEdit } from '../../../src/planner/live/plan-edit.ts'
import { removeLines } from '../../../src/planner/live/removed-lines.ts'
import type { State } from '../../../src/planner/model/state.ts'
import { overdrawn } from '../../../src/planner/model/stores-fleets.ts'

const SEEDS = Array.from({ length: 30 }, (_, index) => index + 1061)
const TRIES = 10

const seen = ({ clean, storePlan, storeStock, placements, ledger }: State) =>
  JSON.stringify([clean, storePlan, storeStock, placements.map((each) => each?.delivered), [...ledger]])

const filledForNobody = ({ surpluses }: State) => [...surpluses].filter(({ quantity }) => quantity > 0).length

/** Lets a third of the lines of a problem leave its plan, again and again, and looks where others have to make room. */
function leaving(
  seed: number,
  look: (made: ReturnType<typeof removeLines>, state: State, orderIds: string[], dropped: number) => void,
): number {
  const problem = randomProblem(seed)
  const { plan } = makePlan(problem, { steps: 20 })
  const { state } = openCarried({ ...problem, baseline: plan }, plan)
  const random = randomFrom(seed)
  let found = 0
  for (let attempt = 0; attempt < TRIES; attempt++) {
    const before = seen(state)
    const step = new PlanEdit(state)
    const staying = problem.orderLines.filter(({ id }) => {
      if (!random.chance(0.3)) return true
      const placement = state.placements[state.model.indexOf.line.get(id) ?? -1]
      if (placement) step.lift(placement)
      return false
    })
    step.settle()
    if (overdrawn(state)) {
      found += 1
      const stock = filledForNobody(state)
      look(
        removeLines(step, staying),
        state,
        staying.map(({ id }) => id),
        stock - filledForNobody(state),
      )
    }
    step.undo()
    expect(seen(state)).toBe(before)
  }
  return found
}

test('stock makes room first, then who matters least, until all is within bounds; undone, all is as before', () => {
  let [found, helped, stockHelped] = [0, 0, 0]
  for (const seed of SEEDS)
    found += leaving(seed, (made, state, staying, dropped) => {
      if (!made) return
      helped += 1
      expect(overdrawn(state)).toBeUndefined()
      expect(made.length + dropped).toBeGreaterThan(0)
      stockHelped += Number(made.length === 0)
      const lines = made.map(({ wanted }) => wanted)
      for (const { id } of lines) {
        expect(staying).toContain(id)
        expect(state.placements[state.model.indexOf.line.get(id) ?? -1]).toBeUndefined()
      }
      expect([...lines].sort(byUrgency)).toEqual(lines)
    })
  expect(found).toBeGreaterThan(5)
  expect(stockHelped).toBeGreaterThan(0)
  expect(helped / found).toBeGreaterThan(0.5)
})
