// Promises that a new plan must go on keeping (F2): those that the plain repair of the plan in force keeps.
import type { LineModel } from './model.ts'
import type { State } from './state.ts'

/** Is all of the line served, and none of it late? */
export function isServedOnTime(state: State, line: LineModel): boolean {
  const placement = state.placements[line.index]
  return (
    placement?.delivered === line.quantity && placement.deliveries.every((delivery) => delivery.serve <= line.dueOn)
  )
}

/** Guards the promises that the plan as it stands keeps: the answer says whether the state still keeps them all. */
export function guardPromises(state: State): () => boolean {
  const guarded = state.model.lines.filter((line) => line.promised && isServedOnTime(state, line))
  return () => guarded.every((line) => isServedOnTime(state, line))
}
