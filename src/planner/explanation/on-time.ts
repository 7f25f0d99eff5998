// The question that every relief answers: can the planner serve the line on time in the plan as it stands?
import { supply } from '../insertion/earliest-insertion.ts'
import { place } from '../insertion/place.ts'
import { EXACT } from '../insertion/policy.ts'
import type { Placement } from '../model/batch.ts'
import { byBirth } from '../model/batch.ts'
import { type LineModel, TERM } from '../model/model.ts'
import { onTimeOptions } from '../model/options.ts'
import type { State } from '../model/state.ts'
import { holds } from '../model/stores-fleets.ts'
import { UndoLog } from '../model/undo-log.ts'

/** The line as if it had to be served on time: only the dispatch days that are not late, which come first. */
export function onTimeVariant(line: LineModel): LineModel {
  return { ...line, options: onTimeOptions(line) }
}

/**
 * Asks questions about a line as if nothing served it: its placement, if it has one, is out of the plan meanwhile. Churn
 * aside, so that a line that was served late is judged as if asked for anew, and with the batches of its beer in an order
 * that does not depend on how the state came about. The state is as before afterwards.
 */
export function withLineLifted<T>(state: State, line: LineModel, ask: () => T): T {
  const { batches, baseline, model } = state
  const { rates, sites } = model
  const placement = state.placements[line.index]
  const log = new UndoLog(state)
  try {
    if (placement) log.lift(placement)
    log.swap(rates, TERM.churn, 0)
    // Not even looked up.
    log.swap(baseline, 'runs', new Map())
    const first = line.beer * sites.length
    for (const [site, list] of batches.slice(first, first + sites.length).entries())
      log.swap(batches, first + site, [...list].sort(byBirth))
    return ask()
  } finally {
    log.undo()
  }
}

/**
 * Is the line, which is not in the plan, wholly served on time by the planner, whatever it costs, while everyone else
 * keeps what they have? In one delivery, or where it is splittable in two (A3). Looks only; within `withLineLifted`.
 * `look` is called once with the line in the plan.
 */
export function servesOnTime(state: State, line: LineModel, look?: () => void): boolean {
  return placedOnTime(state, line, look) !== undefined
}

/** As `servesOnTime`: what serves the line, to be applied by the caller. */
export function placedOnTime(state: State, line: LineModel, look?: () => void): Placement | undefined {
  const onTime = onTimeVariant(line)
  if (onTime.options.length === 0 || supply(state, onTime)(onTime.options) < line.quantity) return undefined
  for (const splittable of line.splittable ? [false, true] : [false]) {
    const placement = place(state, { ...onTime, splittable }, EXACT, true)?.placement
    if (placement?.delivered === line.quantity && harmsNoOtherLine(state, placement, look))
      return { ...placement, line }
  }
  return undefined
}

/** Containers that came back when the line was served otherwise, and room that it made, may be what others live on. */
function harmsNoOtherLine(state: State, placement: Placement, look: (() => void) | undefined): boolean {
  const log = new UndoLog(state)
  try {
    log.place(placement)
    const held = holds(state)
    if (held) look?.()
    return held
  } finally {
    log.undo()
  }
}
