// A quick look at whether the sources of a site could serve a line whole, and by when, before one is split among them with care.
import type { Batch } from '../model/batch.ts'
import type { LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'
import { SLACK } from '../model/units.ts'
import { mostUnits } from './draws.ts'
import type { LineSource } from './source.ts'

/** Could the sources of a site give the whole line between them, whatever their days? */
export function together(state: State, line: LineModel, list: LineSource[]): boolean {
  const give = giver(state, line)
  let missing = line.quantity
  return list.some((source) => {
    missing -= give(source)
    return missing <= 0
  })
}

/** First day by which the sources of a site could have enough for the whole line fit to leave; infinity where they never could. */
export function enoughBy(state: State, line: LineModel, list: LineSource[]): number {
  const { conditioning } = state.model.packs[line.pack]
  const { fitOn } = state.scratch
  // The sources of each day in turn, in a chain of places in the list: to sort them would take longer than all the rest.
  const next = new Int32Array(list.length)
  fitOn.fill(-1)
  for (let at = list.length - 1; at >= 0; at--) {
    const day = Math.max(0, list[at].day + conditioning)
    if (day >= fitOn.length) continue
    next[at] = fitOn[day]
    fitOn[day] = at
  }
  const give = giver(state, line)
  let missing = line.quantity
  for (let day = 0; day < fitOn.length; day++)
    for (let at = fitOn[day]; at >= 0; at = next[at]) {
      missing -= give(list[at])
      if (missing <= 0) return day
    }
  return Number.POSITIVE_INFINITY
}

/**
 * Most containers of a line that each source in turn could give: a batch no more than its beer allows, on however many days; a new
 * brew any number, since it stands for the brews of other vessels that could follow it.
 */
function giver(state: State, line: LineModel): (source: LineSource) => number {
  const { draw, bright } = state.model.packs[line.pack]
  const left = new Map<Batch, number>()
  return ({ batch, brew, most, surplus, transfer }) => {
    if (brew) return line.quantity
    const wanted = Math.min(most, line.quantity)
    if (!batch || surplus || draw <= 0) return wanted
    const room = left.get(batch) ?? Math.floor((mostUnits(state, batch, bright, transfer) + SLACK) / draw)
    const given = Math.min(wanted, room)
    left.set(batch, room - given)
    return given
  }
}
