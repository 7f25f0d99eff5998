// A change of a plan that is kept open, which can be taken back and made again any number of times.
import { type Batch, byBirth } from '../model/batch.ts'
import type { State } from '../model/state.ts'
import { UndoLog } from '../model/undo-log.ts'
import { byDay } from '../opening/export.ts'

/** An undo log that brings the lists of the batches that it changes into an order of their own. */
export class PlanEdit extends UndoLog {
  /** Batches whose draws or neighbours it changed. */
  readonly touched = new Set<Batch>()

  constructor(state: State) {
    super(state)
    state.touched.clear()
  }

  override redo(): void {
    super.redo()
    this.settle()
  }

  override undo(): void {
    super.undo()
    this.settle()
  }

  /**
   * Brings lists into an order that does not depend on how they came about: among equals the planner takes the first.
   */
  settle(): void {
    const { touched, batches, model } = this.state
    for (const batch of touched) {
      this.touched.add(batch)
      batch.runs.sort(byDay)
      batches[batch.beer * model.sites.length + batch.site]?.sort(byBirth)
    }
    touched.clear()
  }
}
