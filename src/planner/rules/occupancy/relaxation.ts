// V3, lifted to explain a line: its sites have one more empty fermenter and one more empty bright vessel.
import { element } from '../../model/element.ts'
import type { Relaxation } from '../relaxation.ts'
import { beerOf, enterVessel, largestOf, siteModelsOf } from '../relaxation-scope.ts'

/** One more of each at each site, like the largest there that the beer may use. */
export const vessels: Relaxation = {
  rule: 'V3',
  matters: (state, line) =>
    siteModelsOf(state, line).some(({ fermenters, brights }) => fermenters.length + brights.length > 0),
  lift: (log, line) => {
    const { allowed } = element(log.state.model.beers, line.beer)
    for (const { fermenters, brights } of siteModelsOf(log.state, line))
      for (const largest of [largestOf(log.state, fermenters, allowed), largestOf(log.state, brights)])
        if (largest) enterVessel(log, line, { ...largest, id: '', availableFrom: 0, outOfService: [], minFill: 0 })
  },
  reason: (state, line) => {
    const beer = beerOf(state, line)
    return { rule: 'V3', code: 'NO_VESSEL_FREE', params: { beerId: beer.id }, resource: beer }
  },
}
