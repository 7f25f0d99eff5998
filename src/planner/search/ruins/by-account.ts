// Lines of one account could share a drop.
import { below } from '../../model/random.ts'
import { nearest } from './choosing.ts'
import type { Ruin } from './ruin.ts'

/** Lines of one account: drops can be shared. */
export const byAccount: Ruin = (state, random, most) => {
  const { lines } = state.model
  const centre = lines[below(random, lines.length)]
  return nearest(
    lines.filter((line) => line.account === centre.account),
    centre,
    most,
  )
}
