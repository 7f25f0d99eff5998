// Lines of one beer compete for its batches.
import { below } from '../../model/random.ts'
import { nearest } from './choosing.ts'
import type { Ruin } from './ruin.ts'

/** Lines of one beer whose serve days lie close together. */
export const byBeer: Ruin = (state, random, most) => {
  const { lines } = state.model
  const centre = lines[below(random, lines.length)]
  return nearest(
    lines.filter((line) => line.beer === centre.beer),
    centre,
    most,
  )
}
