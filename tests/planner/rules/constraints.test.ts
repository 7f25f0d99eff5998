// Constraints against checks: a decision is forced into a valid plan, and the constraint of a rule refuses it exactly where the
// rule's own check finds a violation. It runs over the list of constraints: one that is added is tried with the others.
import { describe, expect, it } from 'vitest'
import { PROBLEM_KINDS, type ProblemKind, randomProblem } from '../../../seeds/random-problem.ts'
import { NO_COST, type Plan, type Problem } from '../../../src/planner/documents/index.ts'
import { deriveFacts } from '../../../src/planner/facts/facts.ts'
import { makePlan } from '../../../src/planner/index.ts'
import { seeded } from '../../../src/planner/model/random.ts'
import type { State } from '../../../src/planner/model/state.ts'
import { exportPlan } from '../../../src/planner/opening/export.ts'
import { reopenAsMade } from '../../../src/planner/opening/reopen.ts'
import { RULE_CHECKS } from '../../../src/planner/rules/checks.ts'
import { CONSTRAINTS } from '../../../src/planner/rules/constraints.ts'
import { LONG } from '../../support/sampled.ts'
import { trace } from '../model/trace.ts'
import { FORCED, type Question } from './forced.ts'

const SEEDS = LONG ? 20 : 2
/** Decisions of each kind that are tried with one plan. */
const TRIES = 16
const QUESTIONS = Object.keys(FORCED).filter((each): each is Question => each in FORCED)

/** Each plan is made once: all constraints are tried with it, and each leaves it as it was. */
const PLANNED = new Map<string, { problem: Problem; plan: Plan }>()

function planned(seed: number, kind: ProblemKind): { problem: Problem; plan: Plan } {
  const key = `${kind} ${seed}`
  const problem = randomProblem(seed, kind)
  const known = PLANNED.get(key) ?? { problem, plan: makePlan(problem, { steps: 20 }).plan }
  PLANNED.set(key, known)
  return known
}

/** Whether the check of a rule finds something in the plan as it stands. */
function isBroken(problem: Problem, state: State, rule: string): boolean {
  const plan = { ...exportPlan(state, [], () => []), cost: NO_COST }
  const facts = deriveFacts(problem, plan)
  return RULE_CHECKS.filter(({ rules }) => rules.some((each) => each === rule)).some(
    ({ find }) => find(facts).length > 0,
  )
}

describe.each(CONSTRAINTS.map((constraint) => ({ rule: constraint.rule, constraint })))(
  '$rule',
  ({ rule, constraint }) => {
    const questions = QUESTIONS.filter((question) => constraint[question])

    it('has a check, and its constraint decides something', () => {
      expect(RULE_CHECKS.flatMap(({ rules }) => rules)).toContain(rule)
      expect(questions).not.toEqual([])
    })

    it('is kept by the search exactly where its check finds nothing', () => {
      const seen = { REFUSES: 0, ADMITS: 0, CLOSE: 0, ELSEWHERE: 0 }
      for (const kind of PROBLEM_KINDS) {
        for (let seed = 1; seed <= SEEDS; seed++) {
          const { problem, plan } = planned(seed * 7, kind)
          const state = reopenAsMade(problem, plan)
          const before = trace(state)
          const random = seeded(seed)
          const binds = constraint.binds(state.model)
          for (const question of questions) {
            for (let attempt = 0; attempt < TRIES; attempt++) {
              const forced = FORCED[question](state, random)
              if (!forced) continue
              const said = forced.answer(constraint)
              seen[said]++
              if (said === 'CLOSE' || said === 'ELSEWHERE') continue
              const takeOut = forced.force()
              const broken = isBroken(problem, state, rule)
              takeOut()
              // What cannot bind is not asked, and so never refuses.
              const refused = binds && said === 'REFUSES'
              expect(refused, `${kind} ${seed * 7}, ${rule}: ${forced.what}`).toBe(broken)
            }
          }
          expect(trace(state)).toEqual(before)
        }
      }
      expect(seen.REFUSES).toBeGreaterThan(3)
      expect(seen.ADMITS).toBeGreaterThan(5)
      expect(seen.CLOSE).toBeLessThan(seen.ADMITS)
    }, 120_000)
  },
)
