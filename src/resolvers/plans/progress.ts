// Progress as it is kept in the records, and as subscribers hear it.
import { gapOf } from '../../planner/index.ts'
import { type PlanProgress, progressShape } from '../../solver/progress.ts'

export interface ShownProgress extends PlanProgress {
  /** Share of the best cost by which it may exceed the least possible. Null: no bound is known yet. */
  gap: number | null
}

/** The progress in a JSON column; null where there is none yet. */
export function readProgress(value: unknown): ShownProgress | null {
  return value === null ? null : shown(progressShape.parse(value))
}

/** Progress with its gap. */
export function shown(progress: PlanProgress): ShownProgress {
  const { bestCost, lowerBound } = progress
  return { ...progress, gap: lowerBound === null ? null : gapOf(bestCost, lowerBound) }
}
