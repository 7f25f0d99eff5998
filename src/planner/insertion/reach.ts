// A quick look at whether the sources of a site could serve a line whole, and by when, before one is split among them with care.
import type { Batch } from '../model/batch.ts'
import type { LineModel } from '../model/model.ts'
import type { State } from '../model/state.ts'
import { SLACK } from '../model/units.ts'
import { mostUnits } from './draws.ts'
import type { LineSource } from './source.ts'

/** Containers at most, by the day on which they are fit to leave; the days go up. */
export type Reach = readonly { day: number; sum: number }[]

/** Could the sources of a site give the whole line between them, whatever their days? */
export function together(state: State, line: LineModel, list: LineSource[]): boolean {
  const give = giver(state, line)
  let missing = line.quantity
  return list.some((source) => {
    missing -= give(source)
    return missing <= 0
  })
}

/** Containers that the sources could give at most, by the day on which they are fit to leave. */
export function reachOf(state: State, line: LineModel, list: LineSource[]): Reach {
  const { conditioning } = state.model.packs[line.pack]
  const give = giver(state, line)
  let sum = 0
  return [...list]
    .sort((a, b) => a.day - b.day)
    .map((source) => {
      sum += give(source)
      return { day: source.day + conditioning, sum }
    })
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

/** Could enough be fit to leave by a day? A quick look before the careful one. */
export function couldSuffice(reach: Reach, quantity: number, dispatch: number): boolean {
  let low = 0
  let high = reach.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (reach[middle].day <= dispatch) low = middle + 1
    else high = middle
  }
  return low > 0 && reach[low - 1].sum >= quantity
}
