// Limits that cannot be in the way of a line are not lifted to find out: lifting them must change nothing, alone or with
// others.
import { describe, expect, it } from 'vitest'
import { PROBLEM_KINDS, randomProblem } from '../../../seeds/random-problem.ts'
import { servesOnTime, withLineLifted } from '../../../src/planner/explanation/on-time.ts'
import { compile } from '../../../src/planner/model/compile.ts'
import type { LineModel } from '../../../src/planner/model/model.ts'
import { isServedOnTime } from '../../../src/planner/model/promises.ts'
import type { State } from '../../../src/planner/model/state.ts'
import { UndoLog } from '../../../src/planner/model/undo-log.ts'
import { openState } from '../../../src/planner/opening/standing.ts'
import type { Relaxation } from '../../../src/planner/rules/relaxation.ts'
import { RELAXATIONS } from '../../../src/planner/rules/relaxations.ts'
import { construct } from '../../../src/planner/search/construct.ts'

function servedWithout(state: State, line: LineModel, limits: readonly Relaxation[]): boolean {
  const log = new UndoLog(state)
  for (const each of limits) each.lift(log, line)
  const served = servesOnTime(state, line)
  log.undo()
  return served
}

describe.each(PROBLEM_KINDS)('limits that do not matter to lines of %s problems', (kind) => {
  it('can be lifted or not', () => {
    for (const seed of [1, 2, 3, 4]) {
      const state = openState(compile(randomProblem(seed, kind)))
      construct(state, 0)
      for (const line of state.model.lines.filter((each) => !isServedOnTime(state, each))) {
        const mattering = RELAXATIONS.filter((each) => each.matters(state, line))
        const rest = RELAXATIONS.filter((each) => !mattering.includes(each))
        withLineLifted(state, line, () => {
          const what = `${kind} ${seed}, line ${line.id}`
          expect(servedWithout(state, line, rest), what).toBe(servedWithout(state, line, []))
          expect(servedWithout(state, line, mattering), what).toBe(servedWithout(state, line, RELAXATIONS))
        })
      }
    }
  })
})
