// The question that every relief answers: can the planner serve the line on time in the plan as it stands?
import type { Batch } from '../search/batch.ts'
import { type LineModel, TERM } from '../search/model.ts'
import { OPTION_SIZE } from '../search/options.ts'
import { place } from '../search/place.ts'
import { EXACT } from '../search/sources.ts'
import type { State } from '../search/state.ts'

/** The line as if it had to be served on time: only the dispatch days that are not late. */
export function onTimeVariant(line: LineModel): LineModel {
  const options: number[] = []
  for (let at = 0; at < line.options.length; at += OPTION_SIZE) {
    if (line.options[at + 2] <= line.dueOn) options.push(line.options[at], line.options[at + 1], line.options[at + 2])
  }
  return { ...line, options: Int32Array.from(options) }
}

/**
 * Is the line, which is not in the plan, wholly served on time by the planner, whatever it costs? In one delivery, or
 * where it is splittable in two (A3). Churn aside, so that a line that was served late is judged as if asked for anew.
 * Looks only.
 */
export function servesOnTime(state: State, line: LineModel): boolean {
  const onTime = onTimeVariant(line)
  if (onTime.options.length === 0) return false
  const { rates } = state.model
  const churn = rates[TERM.churn]
  rates[TERM.churn] = 0
  const sites = state.model.sites.length
  const before = state.batches.slice(line.beer * sites, (line.beer + 1) * sites)
  for (const [site, list] of before.entries()) state.batches[line.beer * sites + site] = [...list].sort(byBirth)
  const served =
    place(state, { ...onTime, splittable: false }, EXACT, true) !== undefined ||
    (line.splittable && place(state, onTime, EXACT, true)?.placement.delivered === line.quantity)
  for (const [site, list] of before.entries()) state.batches[line.beer * sites + site] = list
  rates[TERM.churn] = churn
  return served
}

/**
 * Order of batches that does not depend on how a state came about: those that stand, then brews by day and vessel. Among
 * equals the planner takes the first, so where the order differs, so may what it finds.
 */
export function byBirth(a: Batch, b: Batch): number {
  return a.standing - b.standing || a.brewOn - b.brewOn || a.fermenter - b.fermenter
}
