// The search changes the plan in its state, never the model that it works on.
import { expect, it } from 'vitest'
import { PROBLEM_KINDS, randomProblem } from '../../../seeds/random-problem.ts'
import { compile } from '../../../src/planner/model/compile.ts'
import { seeded } from '../../../src/planner/model/random.ts'
import { openState } from '../../../src/planner/opening/standing.ts'
import { constructBest } from '../../../src/planner/search/construct.ts'
import { improve } from '../../../src/planner/search/improve.ts'

it.each(PROBLEM_KINDS)('leaves the lines of the model in their order in %s problems', (kind) => {
  for (const seed of [3, 4]) {
    const model = compile(randomProblem(seed, kind))
    const state = openState(model)
    constructBest(state, 2)
    improve(state, { random: seeded(seed), schedule: (steps) => steps / 200, cooling: 4, held: new Set() })
    expect(model.lines.map((line) => line.index)).toEqual(model.lines.map((_, index) => index))
  }
})
