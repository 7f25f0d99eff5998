// V3, lifted to explain a line: its sites have one more empty fermenter and one more empty bright vessel.

import type { Relaxation } from '../relaxation.ts'
import { beerOf, enterVessel, largestOf, siteModelsOf } from '../relaxation-scope.ts'

/** One more empty fermenter and bright vessel at each site. */
export const vessels: Relaxation = {
  rule: 'V3',
  matters: (state, line) =>
    siteModelsOf(state, line).some(({ fermenters, brights }) => fermenters.length + brights.length > 0),
  lift: (log, line) => {
    for (const site of siteModelsOf(log.state, line))
      for (const list of [site.fermenters, site.brights]) {
        const largest = largestOf(log.state, list)
        if (largest) enterVessel(log, line, { ...largest, id: '', availableFrom: 0, outOfService: [], minFill: 0 })
      }
  },
  reason: (state, line) => {
    const beer = beerOf(state, line)
    return { rule: 'V3', code: 'NO_VESSEL_FREE', params: { beerId: beer.id }, resource: beer }
  },
}
