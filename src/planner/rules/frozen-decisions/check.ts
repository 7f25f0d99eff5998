// F1: what is frozen or fixed stays as it is, or the plan says what it moved and why.

import type { LocalDate } from '../../calendar/days.ts'
import { LITRE_TOLERANCE } from '../../documents/tolerances.ts'
import { type Decision, decisionKey, heldDecisions } from '../../facts/decisions.ts'
import type { Facts } from '../../facts/facts.ts'
import { type Violation, violation, violationOn } from '../../facts/violation.ts'

/** F1: frozen and fixed decisions are exactly as before, or listed in `moved` with a reason; the frozen days get no others. */
export function frozenAndFixed(facts: Facts): Violation[] {
  if (!facts.problem.baseline) return []
  const found: Violation[] = []
  const isFrozen = (on: LocalDate) => facts.dayOf(on) >= 0 && facts.dayOf(on) < facts.problem.frozenDays
  const { now, before } = heldDecisions(facts)
  const moved = movedEntries(facts, before, now, found)
  const stays = (decision: Decision) => decision.fixed || isFrozen(decision.on)

  for (const [key, decision] of before) {
    if (!stays(decision) || moved.has(key) || isExactly(decision, now.get(key))) continue
    const why = isFrozen(decision.on) ? 'frozen' : 'fixed'
    const message = `${nameOf(decision)} is ${why}; it is not as it was, and \`moved\` does not say why`
    found.push(violationOn(facts.dayOf(decision.on), facts, 'F1', message, decision.id))
  }
  for (const [key, decision] of now) {
    if (!isFrozen(decision.on)) continue
    const was = before.get(key)
    // A frozen one that changed is dealt with above; one that was fixed on a later day may only come here as moved.
    if (was && (isFrozen(was.on) || (was.fixed && moved.has(key)))) continue
    const message = `${nameOf(decision)} is new on a frozen day`
    found.push(violationOn(facts.dayOf(decision.on), facts, 'F1', message, decision.id))
  }
  return found
}

/** The keys of `moved`; what it lists has changed, and each entry says why. */
function movedEntries(
  facts: Facts,
  before: ReadonlyMap<string, Decision>,
  now: ReadonlyMap<string, Decision>,
  found: Violation[],
): Set<string> {
  const keys = new Set<string>()
  for (const { kind, id, reasons } of facts.plan.moved ?? []) {
    const key = decisionKey(kind, id)
    const was = before.get(key)
    const say = (message: string) => found.push(violation('F1', `\`moved\` lists ${kind} "${id}" ${message}`, id))
    if (keys.has(key)) say('twice')
    if (reasons.length === 0) say('without a reason')
    if (!was) say('which is no decision of the baseline from today on')
    else if (isExactly(was, now.get(key))) say('which is as it was')
    keys.add(key)
  }
  return keys
}

function isExactly(was: Decision, now: Decision | undefined): boolean {
  return (
    now !== undefined &&
    now.what === was.what &&
    now.on === was.on &&
    now.fixed === was.fixed &&
    Math.abs(now.amount - was.amount) <= LITRE_TOLERANCE
  )
}

function nameOf({ kind, id }: Decision): string {
  return `${kind === 'BREW' ? 'brew' : kind === 'TRANSFER' ? 'transfer' : 'run'} "${id}"`
}
