// The plan in force, loaded into an empty state: first what is frozen or fixed (F1), then its lines as far as they
// still hold, then fleets and stores are brought back within bounds.
import type { Plan } from '../documents/problem.ts'
import type { Surplus } from '../model/batch.ts'
import type { State } from '../model/state.ts'
import { UndoLog } from '../model/undo-log.ts'
import { loadFixed, type Moved } from './fixed.ts'
import { type DroppedDecisions, loadPlan } from './load-plan.ts'
import { PlanReader } from './plan-reader.ts'
import { restoreCapacity } from './restore-capacity.ts'
import { WhyNot } from './why-not.ts'

export interface LoadedBaseline {
  /** Decisions that were to stay and cannot (F1). */
  moved: Moved[]
  /** Stock runs that must stay. */
  held: ReadonlySet<Surplus>
  /** Other decisions that did not hold, and why. */
  dropped: DroppedDecisions
}

/**
 * Loads the problem's baseline into a state with nothing planned: what must stay, and its lines, each as far as it holds.
 * What broke is left out, and can be placed again; what was to be filled for it becomes stock, unless that is `forgone`.
 */
export function loadBaseline(state: State, baseline: Plan, how?: { forgone: boolean }): LoadedBaseline {
  const log = new UndoLog(state)
  const { moved, runs } = loadFixed(log, baseline)
  const dropped = loadPlan(log, baseline, how)
  const held = new Set(runs.keys())
  const whyNot = new WhyNot(state, new PlanReader(state, baseline))
  const { cuts } = restoreCapacity(log, { lines: Number.POSITIVE_INFINITY, cut: held })
  for (const { surplus, over, rest } of cuts) {
    held.delete(surplus)
    if (rest) held.add(rest)
    const id = runs.get(surplus)
    if (id !== undefined && !moved.some((each) => each.kind === 'FILL_RUN' && each.id === id))
      moved.push({ kind: 'FILL_RUN', id, reasons: [whyNot.overdrawn(over)] })
  }
  return { moved, held, dropped }
}
