// Several starts: their steps add up, the best of all is kept, and what is heard of it only gets better.
import { describe, expect, it } from 'vitest'
import { smallProblem } from '../../../seeds/small-problem.ts'
import { compile } from '../../../src/planner/model/compile.ts'
import { seeded } from '../../../src/planner/model/random.ts'
import { openState } from '../../../src/planner/opening/standing.ts'
import { constructBest } from '../../../src/planner/search/construct.ts'
import { improveFromStarts, startsFor } from '../../../src/planner/search/several-starts.ts'

const STEPS = 600

/** Improves a small problem's first plan for a number of steps; says what was heard and how it ended. */
function improved(seed: number) {
  const model = compile(smallProblem(seed))
  const state = openState(model)
  constructBest(state, 2)
  const heard: { steps: number; cost: number }[] = []
  const accepted: number[] = []
  const improvement = {
    random: seeded(seed),
    schedule: (steps: number) => steps / STEPS,
    held: new Set<never>(),
    onAccepted: () => accepted.push(state.cost),
    onBest: (steps: number, cost: number) => heard.push({ steps, cost }),
  }
  const first = state.cost
  const steps = improveFromStarts(state, improvement, startsFor(model.lines.length, STEPS))
  return { first, steps, heard, accepted, cost: state.cost }
}

describe.each([4, 5, 10, 24])('the search of small problem %i from several starts', (seed) => {
  const { first, steps, heard, accepted, cost } = improved(seed)

  it('takes as many steps as one search would', () => {
    expect(steps).toBe(STEPS)
  })

  it('ends with the cheapest plan that any start came by', () => {
    expect(cost).toBeCloseTo(Math.min(first, ...accepted), 4)
  })

  it('is heard of only where it is better than all before, with the steps so far', () => {
    for (const [at, each] of heard.entries()) {
      expect(each.cost).toBeLessThan(heard[at - 1]?.cost ?? first)
      expect(each.steps).toBeGreaterThan(heard[at - 1]?.steps ?? 0)
    }
  })
})

it('begins several times where there are steps enough for each line, and once where there are many lines or few steps', () => {
  expect(startsFor(60, Number.POSITIVE_INFINITY).starts).toBeGreaterThan(1)
  expect(startsFor(10, 500).starts).toBeGreaterThan(1)
  expect(startsFor(10, 499).starts).toBe(1)
  expect(startsFor(101, Number.POSITIVE_INFINITY).starts).toBe(1)
})
