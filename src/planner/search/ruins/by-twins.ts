// Lines of two batches of a beer could share one.
import { below } from '../../model/random.ts'
import { pick, usersOf } from './choosing.ts'
import type { Ruin } from './ruin.ts'

/** Two batches of one beer at one site. */
export const byTwins: Ruin = (state, random, most) => {
  const list = pick(
    random,
    state.batches.filter((each) => each.length > 1),
  )
  if (!list) return []
  const at = below(random, list.length)
  return usersOf([list[at], list[(at + 1) % list.length]], random, most)
}
