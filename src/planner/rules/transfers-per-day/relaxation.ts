// V11, lifted to explain a line: its sites start any number of transfers on a fill day.
import { limitsTransfers, noneOfTheirOwn } from '../../model/model.ts'
import type { Relaxation } from '../relaxation.ts'
import { onlySite, packOf, siteModelsOf } from '../relaxation-scope.ts'

export const transfers: Relaxation = {
  rule: 'V11',
  matters: (state, line) => packOf(state, line).bright && siteModelsOf(state, line).some(limitsTransfers),
  lift: (log, line) => {
    for (const site of siteModelsOf(log.state, line)) {
      log.swap(site, 'transfersPerDay', Number.POSITIVE_INFINITY)
      log.swap(site, 'transfersOnly', noneOfTheirOwn(site.transfersOnly))
    }
  },
  reason: (state, line) => ({ rule: 'V11', code: 'NO_TRANSFER_LEFT', resource: onlySite(state, line) }),
}
