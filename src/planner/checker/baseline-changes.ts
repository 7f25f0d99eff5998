// What a new plan moved of the plan in force, and why (F1): decisions that had to stay and could not, and all others that
// are dropped or decided otherwise.

import { dayNumber } from '../calendar/days.ts'
import type { Plan, Problem } from '../documents/problem.ts'
import type { Reason } from '../documents/reason.ts'
import { LITRE_TOLERANCE } from '../documents/tolerances.ts'
import { type Decision, decisionKey, decisionsOf, liveBaseline } from '../facts/decisions.ts'

type Decided = Omit<Plan, 'cost'>
type Move = NonNullable<Plan['moved']>[number]

/**
 * The plan with `moved` brought up to the baseline as it is now. Entries are dropped whose decision the baseline no longer
 * has, and those whose decision is as it was in the end; the latter are fixed again where they were fixed.
 */
export function currentChanges<T extends Decided>(problem: Problem, plan: T): T {
  if (!plan.moved || plan.moved.length === 0) return plan
  const before = live(problem)
  const now = decisionsOf(plan)
  const back = new Set<string>()
  const moved = plan.moved.filter(({ kind, id }) => {
    const key = decisionKey(kind, id)
    const [was, is] = [before.get(key), now.get(key)]
    if (!was) return false
    const same = is !== undefined && isSame(was, is) && Math.abs(was.amount - is.amount) <= LITRE_TOLERANCE
    if (same && was.fixed) back.add(key)
    return !same
  })
  const flag = <T extends { id: string }>(kind: Decision['kind'], list: T[]): T[] =>
    list.map((each) => (back.has(decisionKey(kind, each.id)) ? { ...each, fixed: true } : each))
  return {
    ...plan,
    brews: flag('BREW', plan.brews),
    transfers: flag('TRANSFER', plan.transfers),
    fillRuns: flag('FILL_RUN', plan.fillRuns),
    moved,
  }
}

/** Why a decision of the baseline did not hold when it was brought into the state; undefined where it did. */
export interface WhyDropped {
  why(kind: Decision['kind'], id: string): Reason | undefined
}

/** Decisions that were free to change and are dropped or another beer, vessel, batch, filler, pack or day (churn). */
export function freeChanges(problem: Problem, plan: Decided, dropped: WhyDropped): Move[] {
  const now = decisionsOf(plan)
  const listed = new Set((plan.moved ?? []).map(({ kind, id }) => decisionKey(kind, id)))
  return [...live(problem)].flatMap(([key, was]): Move[] => {
    const is = now.get(key)
    if (listed.has(key) || (is && isSame(was, is))) return []
    const { kind, id } = was
    return [{ kind, id, reasons: [dropped.why(kind, id) ?? (is ? OTHERWISE : NOT_NEEDED)] }]
  })
}

const OTHERWISE: Reason = { rule: 'COST', code: 'CHEAPER_OTHERWISE' }
const NOT_NEEDED: Reason = { rule: 'COST', code: 'CHEAPER_WITHOUT' }

function live(problem: Problem): Map<string, Decision> {
  const today = dayNumber(problem.today)
  return liveBaseline({ problem, dayOf: (date) => dayNumber(date) - today })
}

function isSame(was: Decision, is: Decision): boolean {
  return is.what === was.what && is.on === was.on
}
