// V1, lifted to explain a line: its sites brew as often as they like on a brew day.
import { noneOfTheirOwn } from '../../model/model.ts'
import type { Relaxation } from '../relaxation.ts'
import { onlySite, siteModelsOf } from '../relaxation-scope.ts'

export const brewhouse: Relaxation = {
  rule: 'V1',
  matters: (state, line) => siteModelsOf(state, line).some(({ fermenters }) => fermenters.length > 0),
  lift: (log, line) => {
    for (const site of siteModelsOf(log.state, line)) {
      log.swap(site, 'brewsPerDay', 1e9)
      log.swap(site, 'brewsOnly', noneOfTheirOwn(site.brewsOnly))
    }
  },
  reason: (state, line) => ({ rule: 'V1', code: 'NO_BREW_LEFT', resource: onlySite(state, line) }),
}
