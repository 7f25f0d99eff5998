// A line that is late or short competes with those near it.
import type { LineModel } from '../../model/model.ts'
import { below, type Random } from '../../model/random.ts'
import type { State } from '../../model/state.ts'
import { nearest } from './choosing.ts'
import type { Ruin } from './ruin.ts'

/** Some line that is late, not served or served in part; undefined where there is none. */
export function unsatisfiedLine(state: State, random: Random): LineModel | undefined {
  const { lines } = state.model
  const start = below(random, lines.length)
  for (let step = 0; step < lines.length; step++) {
    const line = lines[(start + step) % lines.length]
    const placement = state.placements[line.index]
    if (!placement || placement.delivered < line.quantity) return line
    if (placement.deliveries.some((each) => each.serve > line.dueOn)) return line
  }
  return undefined
}

/** A line that is late or not served, with the lines nearest to it in time, of its beer first. */
export const byUnsatisfied: Ruin = (state, random, most) => {
  const { lines } = state.model
  const centre = unsatisfiedLine(state, random)
  if (!centre) return []
  const { beer } = centre
  const same = random() < 0.5 ? lines.filter((line) => line.beer === beer) : lines
  return nearest(same, centre, most)
}
