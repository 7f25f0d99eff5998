// Whole brews give their vessels to others.
import type { Batch } from '../../model/batch.ts'
import type { LineModel } from '../../model/model.ts'
import { below } from '../../model/random.ts'
import { pick } from './choosing.ts'
import type { Ruin } from './ruin.ts'

/** Whole brews: neighbours in a vessel, or of about the same days in several vessels. */
export const byBrews: Ruin = (state, random) => {
  const planned: Batch[] = []
  for (const list of state.batches) for (const batch of list) if (batch.users.size > 0) planned.push(batch)
  const centre = pick(random, planned)
  if (!centre) return []
  const near = 1 + below(random, 3)
  const same = random() < 0.4
  const found = new Set<LineModel>()
  const order = planned
    .filter((batch) => !same || batch.fermenter === centre.fermenter || batch.beer === centre.beer)
    .sort((a, b) => Math.abs(a.ready - centre.ready) - Math.abs(b.ready - centre.ready) || a.serial - b.serial)
  order.splice(order.indexOf(centre), 1)
  order.unshift(centre)
  for (const batch of order.slice(0, near)) for (const user of batch.users) found.add(user.line)
  return [...found]
}
