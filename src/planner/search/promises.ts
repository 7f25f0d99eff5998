// Promises that a new plan must go on keeping (F2): those that the plain repair of the plan in force keeps.
import type { LineModel } from './model.ts'
import { OPTION_SIZE } from './options.ts'
import type { State } from './state.ts'

/** Is all of the line served, and none of it late? */
export function isServedOnTime(state: State, line: LineModel): boolean {
  const placement = state.placements[line.index]
  return (
    placement?.delivered === line.quantity && placement.deliveries.every((delivery) => delivery.serve <= line.dueOn)
  )
}

/**
 * Guards the promises that the plan as it stands keeps: answers whether the state still keeps them all. From here on
 * the search looks for days in time alone for these lines: on a later one it could not keep what it finds.
 */
export function guardPromises(state: State): () => boolean {
  const guarded = state.model.lines.filter((line) => line.promised && isServedOnTime(state, line))
  for (const line of guarded) line.options = inTime(line)
  return () => guarded.every((line) => isServedOnTime(state, line))
}

/** The dispatch days of a line that are not late. */
export function inTime({ options, dueOn }: LineModel): Int32Array {
  const found: number[] = []
  for (let at = 0; at < options.length; at += OPTION_SIZE)
    if (options[at + 2] <= dueOn) found.push(options[at], options[at + 1], options[at + 2])
  return Int32Array.from(found)
}
