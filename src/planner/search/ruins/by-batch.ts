// Lines of one batch, and of its neighbour, compete for the days of a vessel.
import { below } from '../../model/random.ts'
import { pick, usersOf } from './choosing.ts'
import type { Ruin } from './ruin.ts'

/** Lines drawn from one batch, and from a neighbour of it in its vessel. */
export const byBatch: Ruin = (state, random, most) => {
  const stays = pick(
    random,
    state.stays.filter((each) => each.length > 0),
  )
  if (!stays) return []
  const at = below(random, stays.length)
  const batches = random() < 0.5 ? [stays[at].batch] : [stays[at].batch, stays[(at + 1) % stays.length].batch]
  return usersOf(batches, random, most)
}
