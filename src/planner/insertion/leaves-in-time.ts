// Containers that are filled already stand in the cold store until they are dispatched. Where too much stands there while a line is
// out of the plan, an early dispatch makes up for it and a late one does not. Fleets need no such rule: whenever a line that is not
// late is dispatched, it is served, and its containers come back, on the same day; and a late one as soon as may be.
import type { LineModel } from '../model/model.ts'
import { OPTION_SIZE } from '../model/options.ts'
import type { State } from '../model/state.ts'
import { lastCrowded } from '../model/stores-fleets.ts'
import type { LineSource } from './source.ts'

/**
 * Whether filled containers leave with an option before each day on which too much stands in the cold (S1) and for which another
 * option would be early enough. What no option of the line can mend is no reason against any.
 */
export function leavesInTime(state: State, line: LineModel, source: LineSource, at: number): boolean {
  const { routes, packs, lots } = state.model
  const { options } = line
  const { site } = routes[options[at]]
  const fit = source.lot >= 0 ? lots[source.lot].readyOn : source.day + packs[line.pack].conditioning
  const crowded = lastCrowded(state, site, Math.max(0, fit), options[at + 1])
  if (crowded < 0) return true
  for (let other = 0; other < options.length; other += OPTION_SIZE) {
    const dispatch = options[other + 1]
    if (dispatch >= fit && dispatch <= crowded && routes[options[other]].site === site) return false
  }
  return true
}
