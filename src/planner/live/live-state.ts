// What all versions of a plan that is kept open share: the state, which stands at one of them at a time, and what the plan
// says there of each batch and of each line that is late or not wholly served.
import { NO_COST, type Plan, type Problem } from '../documents/problem.ts'
import { explainer, PLAN_RELIEFS } from '../explanation/explain.ts'
import { reuseReasons } from '../explanation/reuse-reasons.ts'
import { type Batch, byBirth, type Placement } from '../model/batch.ts'
import { element } from '../model/element.ts'
import { type LineModel, TERM } from '../model/model.ts'
import type { State } from '../model/state.ts'
import {
  type BatchPart,
  batchPart,
  deliveriesOf,
  type Explain,
  fixedIdsOf,
  joinedParts,
  joinedVerdicts,
  type Verdicts,
  verdictsOf,
} from '../opening/export.ts'
import { PlanEdit } from './plan-edit.ts'
import { LiveNames, type PartChange, rebase } from './rebase.ts'

/** What a plan that is open in a state says of its batches and lines; reasons that it lists already are kept. */
export function liveStateOf(problem: Problem, { plan, state }: { plan: Plan; state: State }): LiveState {
  return new LiveState(problem, plan, state, reuseReasons(state, plan, explainer(state, PLAN_RELIEFS)))
}

export class LiveState {
  readonly state: State
  readonly names: LiveNames
  readonly fixedIds: ReadonlySet<string>
  readonly parts = new Map<Batch, BatchPart>()
  /** By order line. */
  readonly verdicts = new Map<string, Verdicts>()
  /** Deliveries as they were written, by index of their line: a placement that stands takes from runs that keep their names. */
  readonly #written: ({ placement: Placement; deliveries: Plan['deliveries'] } | undefined)[] = []

  /** `plan` is open in `state`; `explain` finds its reasons. */
  constructor(problem: Problem, plan: Plan, state: State, explain: Explain) {
    this.state = state
    const decisions = [...plan.brews, ...plan.transfers, ...plan.fillRuns]
    this.names = new LiveNames(
      state,
      [...problem.batches, ...decisions].map(({ id }) => id),
    )
    this.fixedIds = fixedIdsOf(plan)
    for (const line of state.model.lines) {
      const verdicts = verdictsOf(state, line, explain)
      if (Object.keys(verdicts).length > 0) this.verdicts.set(line.id, verdicts)
    }
    const { baseline } = state
    const batches = state.batches.flat()
    const changes = this.partChanges(batches)
    for (const { batch } of changes) state.touched.add(batch)
    for (const index of baseline.brewBeers.keys()) if (!state.claimed.has(index)) baseline.brewBeers[index] = -1
    baseline.brews.clear()
    baseline.runs.clear()
    baseline.transfers.clear()
    const edit = new PlanEdit(state)
    for (const { batch } of changes) state.touched.add(batch)
    this.settle(edit, changes)
  }

  /** What the plan says of batches now, beside what it said. */
  partChanges(batches: Iterable<Batch>): PartChange[] {
    return [...batches].map((batch) => ({
      batch,
      before: this.parts.get(batch),
      after: batch.active ? batchPart(this.state, batch, this.names, this.fixedIds) : undefined,
    }))
  }

  /** Makes what the batches hold now the baseline. */
  settle(edit: PlanEdit, changes: readonly PartChange[]): void {
    rebase(this.state, edit, changes)
    for (const { batch, after } of changes) edit.put(this.parts, batch, after)
    this.names.forget()
    edit.settle()
  }

  /** The deliveries of a line as it stands: the very same as long as it keeps its place. */
  deliveriesOf(line: LineModel): Plan['deliveries'] {
    const placement = this.state.placements[line.index]
    if (!placement) return []
    const known = this.#written[line.index]
    if (known?.placement === placement) return known.deliveries
    const deliveries = deliveriesOf(this.state, line, this.names)
    this.#written[line.index] = { placement, deliveries }
    return deliveries
  }

  /** Cost of the plan as it stands, as its own baseline. */
  cost(): Plan['cost'] {
    const { ledger, model } = this.state
    const terms = { ...NO_COST.terms }
    let total = 0
    for (const term of Object.keys(TERM) as (keyof typeof TERM)[]) {
      terms[term] = element(ledger, TERM[term]) * element(model.rates, TERM[term])
      total += terms[term]
    }
    return { total, terms }
  }

  /** The plan as it stands. */
  plan(): Plan {
    const { state, parts } = this
    const batches = state.batches.flat().sort(byBirth)
    return {
      ...joinedParts(batches.flatMap((batch) => parts.get(batch) ?? [])),
      deliveries: state.model.lines.flatMap((line) => this.deliveriesOf(line)),
      ...joinedVerdicts([...this.verdicts.values()]),
      moved: [],
      cost: this.cost(),
    }
  }
}
