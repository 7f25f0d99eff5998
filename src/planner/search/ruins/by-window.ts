// Lines filled at about the same time compete for fillers, containers and room.
import type { LineModel } from '../../model/model.ts'
import { below } from '../../model/random.ts'
import { sample } from './choosing.ts'
import type { Ruin } from './ruin.ts'

/** Lines filled at one site within a few days. */
export const byWindow: Ruin = (state, random, most) => {
  const { model } = state
  const site = below(random, model.sites.length)
  const { fillDays } = model.sites[site]
  if (fillDays.length === 0) return []
  const from = fillDays[below(random, fillDays.length)]
  const to = from + below(random, 5)
  const found = new Set<LineModel>()
  for (let beer = 0; beer < model.beers.length; beer++) {
    for (const batch of state.batches[beer * model.sites.length + site]) {
      if (!batch.runs.some(({ day }) => day >= from && day <= to)) continue
      for (const user of batch.users) {
        for (const delivery of user.deliveries) {
          for (const take of delivery.runs)
            if (take.batch === batch && take.day >= from && take.day <= to) found.add(user.line)
        }
      }
    }
  }
  return sample([...found], random, most)
}
