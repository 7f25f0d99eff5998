// V11 in the search: counts the transfers of a site by day, and allows no more than it may start.
import type { SearchConstraint } from '../../model/constraint.ts'
import { element } from '../../model/element.ts'
import { limitOn, limitsTransfers } from '../../model/model.ts'

export const transfersPerDay: SearchConstraint = {
  rule: 'V11',
  binds: ({ sites }) => sites.some(limitsTransfers),
  mayTransfer: ({ transfersPerDay, transfersOnly }, day, started) =>
    started < limitOn(transfersPerDay, transfersOnly, day),
  onTransfer: ({ transfersUsed }, batch, day, sign) => {
    const used = element(transfersUsed, batch.site)
    used[day] = element(used, day) + sign
  },
}
