// The days by which beer has to be out of its vessels (V5).
import type { BatchFacts, Stay } from './cellar.ts'

/** Last day on which a batch may still be in the vessel of a stay, counted from today; infinity where the site never fills. */
export function emptyBy({ beer, readyDay, site }: BatchFacts, stay: Stay): number {
  const deadline = stay.in === 'FERMENTER' ? readyDay + beer.maxTankDays : stay.firstFillDay + beer.maxBrightDays
  // What stands today has until the first day on which the site can fill it at all.
  return stay.planned ? deadline : Math.max(deadline, site.firstFillDay ?? Infinity)
}
