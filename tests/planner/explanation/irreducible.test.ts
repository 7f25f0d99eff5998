// The limits that a line's reasons name are true: lifted in the problem document, all of them, the planner serves the line
// on time beside all that the plan serves; with any one of them in its place, the others do not.
import { expect, test } from 'vitest'
import { type ProblemKind, randomProblem } from '../../../seeds/random-problem.ts'
import { sizedProblem } from '../../../seeds/sized-problem.ts'
import { deliveredByLine } from '../../../src/planner/documents/delivered-by-line.ts'
import type { Plan, Problem, Reason } from '../../../src/planner/documents/index.ts'
import type { ReasonRule } from '../../../src/planner/documents/rule-numbers.ts'
import { placedOnTime, withLineLifted } from '../../../src/planner/explanation/on-time.ts'
import { makePlan } from '../../../src/planner/index.ts'
import { reopen, withFrozenDaysAsMade } from '../../../src/planner/opening/reopen.ts'
import { RELAXATIONS } from '../../../src/planner/rules/relaxations.ts'
import { LONG, sampled } from '../../support/sampled.ts'
import { LIFTABLE, liftedProblem } from './lifted-problem.ts'

/** Kinds of problems of which something is short, each with several more than there is of it. */
const KINDS: readonly ProblemKind[] = [
  ...(['OVERLOAD', 'BINDING_FLEETS', 'BINDING_STORES', 'BINDING_FILLERS', 'BINDING_ROUTES'] as const),
  ...(['BINDING_BREWHOUSE', 'QUARANTINED_BATCHES', 'SPLITTABLE', 'SEVERAL_SITES', 'BRIGHT'] as const),
]

/** Twice the lines of a problem, each once more for as much: far more than beer, containers and minutes are there for. */
function overloaded(problem: Problem): Problem {
  const again = problem.orderLines.map(({ promisedOn: _, ...line }) => ({
    ...line,
    id: `${line.id} again`,
    orderId: `${line.orderId} again`,
  }))
  return { ...problem, orderLines: [...problem.orderLines, ...again] }
}

const ALL: readonly { name: string; problem: () => Problem }[] = Array.from({ length: 100 }, (_, index) => {
  const seed = 1 + Math.floor(index / 12)
  const kind = KINDS[index % 12]
  if (kind) return { name: `${kind} ${seed}`, problem: () => overloaded(randomProblem(seed, kind)) }
  const size = { lines: 30, vessels: 4 + (index % 3), days: 35, seed: index, tightness: 1.3 }
  return { name: `sized ${index}`, problem: () => sizedProblem(size) }
})

/** Codes of reasons that name a limit which can be lifted. */
const LIFTED_BY: Partial<Record<ReasonRule, string>> = {
  F1: 'DAYS_FROZEN',
  T1: 'NOT_READY_IN_TIME',
  V1: 'NO_BREW_LEFT',
  V3: 'NO_VESSEL_FREE',
  V7: 'NOT_FIT_FOR_PRIMING',
  V8: 'BEER_QUARANTINED',
  V11: 'NO_TRANSFER_LEFT',
  L1: 'NO_FILLER_MINUTES',
  L4: 'NO_MINUTES_TO_WASH',
  C1: 'NO_CLEAN_CONTAINERS',
  S1: 'NO_STORE_ROOM',
  D1: 'NO_ROUTE_ROOM',
  B6: 'AFTER_CUT_OFF',
}

function limitsNamed(reasons: readonly Reason[]): ReasonRule[] {
  return reasons.filter(({ rule, code }) => LIFTED_BY[rule] === code).map(({ rule }) => rule)
}

/** Is the line served on time with the limits of these rules lifted, beside all that the plan serves to others? */
function servedWithout(problem: Problem, plan: Plan, lineId: string, rules: readonly ReasonRule[]): boolean {
  const lifted = liftedProblem(problem, lineId, rules)
  const others = lifted.orderLines.filter(({ id }) => id !== lineId)
  const asked = lifted.orderLines.filter(({ id }) => id === lineId)
  const { state } = reopen(withFrozenDaysAsMade({ ...lifted, orderLines: [...others, ...asked] }), plan)
  const served = deliveredByLine(plan.deliveries)
  for (const line of state.model.lines.slice(0, -1))
    expect(state.placements[line.index]?.delivered ?? 0, `${line.id} as before`).toBe(
      served.get(line.id)?.quantity ?? 0,
    )
  const line = state.model.lines.at(-1)
  if (!line) throw new Error('the problem has lines')
  return withLineLifted(state, line, () => placedOnTime(state, line) !== undefined)
}

test('the planner can lift each rule that is lifted here, and no other', () => {
  expect(new Set(RELAXATIONS.map(({ rule }) => rule))).toEqual(LIFTABLE)
})

test('lifting all limits that are named serves the line, and keeping any one of them does not, in 100 overloaded problems', () => {
  const named = new Map<string, number>()
  let sets = 0
  for (const { name, problem: generate } of sampled(ALL, 10)) {
    const problem = generate()
    const { plan } = makePlan(problem, { steps: 20 })
    const explained = new Map([...plan.unserved, ...(plan.late ?? [])].map((each) => [each.orderLineId, each.reasons]))
    for (const [lineId, reasons] of explained) {
      const rules = limitsNamed(reasons)
      if (rules.length === 0) continue
      const what = `${name}, line ${lineId}: ${rules.join(' and ')}`
      if (rules.length > 1) sets++
      for (const rule of rules) named.set(rule, (named.get(rule) ?? 0) + 1)
      expect(servedWithout(problem, plan, lineId, rules), what).toBe(true)
      for (const kept of rules) {
        const rest = rules.filter((rule) => rule !== kept)
        expect(servedWithout(problem, plan, lineId, rest), `${what}, with ${kept} kept`).toBe(false)
      }
    }
  }
  expect(named.size).toBeGreaterThanOrEqual(LONG ? 8 : 5)
  expect(sets).toBeGreaterThan(0)
}, 600_000)
