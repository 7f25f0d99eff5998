// What one plan decides otherwise than another: brews, transfers and fill runs, by id.
import type { LocalDate, Plan } from '../../planner/problem.ts'

export type DecisionKindName = 'BREW' | 'TRANSFER' | 'FILL_RUN'

export interface DecisionSummary {
  kind: DecisionKindName
  id: string
  on: LocalDate
  /** Litres of a brew or transfer, containers of a fill run. */
  amount: number
}

export interface DecisionChange {
  kind: DecisionKindName
  id: string
  /** Null: it is new. */
  before: DecisionSummary | null
  /** Null: it is gone. */
  after: DecisionSummary | null
}

export interface Comparison {
  added: DecisionChange[]
  /** On another day, with another beer, vessel, batch, filler or pack, or of another amount. */
  moved: DecisionChange[]
  dropped: DecisionChange[]
}

/** How `plan` differs from `other`. Each list is in order of day and id. */
export function comparePlans(plan: Plan, other: Plan): Comparison {
  const now = decisionsOf(plan)
  const before = decisionsOf(other)
  const result: Comparison = { added: [], moved: [], dropped: [] }
  for (const [key, { summary, what }] of now) {
    const was = before.get(key)
    const change = { kind: summary.kind, id: summary.id, before: was?.summary ?? null, after: summary }
    if (!was) result.added.push(change)
    else if (was.what !== what) result.moved.push(change)
  }
  for (const [key, { summary }] of before)
    if (!now.has(key)) result.dropped.push({ kind: summary.kind, id: summary.id, before: summary, after: null })
  const dayOf = ({ before: was, after }: DecisionChange) => (after ?? was)?.on ?? ''
  for (const list of Object.values(result))
    list.sort((a: DecisionChange, b: DecisionChange) => (dayOf(a) + a.id < dayOf(b) + b.id ? -1 : 1))
  return result
}

function decisionsOf(plan: Plan): Map<string, { summary: DecisionSummary; what: string }> {
  const found = new Map<string, { summary: DecisionSummary; what: string }>()
  const add = (kind: DecisionKindName, id: string, on: LocalDate, amount: number, things: string[]) =>
    found.set(`${kind} ${id}`, { summary: { kind, id, on, amount }, what: JSON.stringify([on, amount, ...things]) })
  for (const each of plan.brews) add('BREW', each.id, each.brewOn, each.litres, [each.beerId, each.vesselId])
  for (const each of plan.transfers) add('TRANSFER', each.id, each.on, each.litres, [each.batchId, each.toVesselId])
  for (const each of plan.fillRuns)
    add('FILL_RUN', each.id, each.on, each.quantity, [each.batchId, each.fillerId, each.packId])
  return found
}
