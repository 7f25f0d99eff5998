// The decisions that a plan is held to by the next one: brews, transfers and runs by kind and id (F1, churn).
import type { LocalDate } from '../calendar/days.ts'
import type { Plan } from '../documents/problem.ts'
import type { SetupFacts } from './setup.ts'

export type DecisionKind = 'BREW' | 'TRANSFER' | 'FILL_RUN'

/** A brew, a transfer or a run, reduced to what F1 and the churn cost compare. */
export interface Decision {
  kind: DecisionKind
  id: string
  on: LocalDate
  fixed: boolean
  /** Beer, vessel, batch, filler and pack: what makes it another decision when it differs. */
  what: string
  /** Litres or containers. */
  amount: number
}

/** The brews, transfers and runs of a plan, by kind and id. */
export function decisionsOf(plan: Pick<Plan, 'brews' | 'transfers' | 'fillRuns'>): Map<string, Decision> {
  const list: Decision[] = []
  const add = (
    kind: DecisionKind,
    id: string,
    on: LocalDate,
    fixed: boolean | undefined,
    amount: number,
    what: string[],
  ) => list.push({ kind, id, on, fixed: fixed ?? false, amount, what: JSON.stringify(what) })
  for (const { id, beerId, vesselId, brewOn, litres, fixed } of plan.brews)
    add('BREW', id, brewOn, fixed, litres, [beerId, vesselId])
  for (const { id, batchId, toVesselId, on, litres, fixed } of plan.transfers)
    add('TRANSFER', id, on, fixed, litres, [batchId, toVesselId])
  for (const { id, batchId, fillerId, on, packId, quantity, fixed } of plan.fillRuns)
    add('FILL_RUN', id, on, fixed, quantity, [batchId, fillerId, packId])
  return new Map(list.map((decision) => [decisionKey(decision.kind, decision.id), decision]))
}

/** The baseline's decisions that still count: from today on, and not under the id of a batch that exists now. */
export function liveBaseline(setup: Pick<SetupFacts, 'problem' | 'dayOf'>): Map<string, Decision> {
  const { baseline } = setup.problem
  return baseline ? liveOf(setup, decisionsOf(baseline)) : new Map()
}

function liveOf(
  { problem, dayOf }: Pick<SetupFacts, 'problem' | 'dayOf'>,
  all: ReadonlyMap<string, Decision>,
): Map<string, Decision> {
  const existing = new Set(problem.batches.map(({ id }) => id))
  const live = [...all].filter(([, { id, on }]) => dayOf(on) >= 0 && !existing.has(id))
  return new Map(live)
}

/** The decisions of a plan, and those of the plan in force that still count. */
export interface HeldDecisions {
  now: ReadonlyMap<string, Decision>
  before: ReadonlyMap<string, Decision>
}

const held = new WeakMap<object, HeldDecisions>()

/** Both of them, found once for each check. */
export function heldDecisions(facts: Pick<SetupFacts, 'problem' | 'dayOf'> & { plan: Plan }): HeldDecisions {
  const known = held.get(facts)
  if (known) return known
  const { plan, problem } = facts
  const now = decisionsOf(plan)
  // A plan that is its own baseline is read once.
  const found = { now, before: haveSameDecisions(plan, problem.baseline) ? liveOf(facts, now) : liveBaseline(facts) }
  held.set(facts, found)
  return found
}

function haveSameDecisions(a: Plan, b: Plan | undefined): boolean {
  return a.brews === b?.brews && a.transfers === b.transfers && a.fillRuns === b.fillRuns
}

/** The key of a decision: ids are unique within their kind. */
export function decisionKey(kind: DecisionKind, id: string): string {
  return `${kind} ${id}`
}
