// V11 in the search: counts the transfers of a site by day, and allows no more than it may start.
import type { SearchConstraint } from '../../model/constraint.ts'

export const transfersPerDay: SearchConstraint = {
  rule: 'V11',
  binds: ({ sites }) => sites.some((site) => Number.isFinite(site.transfersPerDay)),
  mayTransfer: ({ model, transfersUsed }, site, day) => transfersUsed[site][day] < model.sites[site].transfersPerDay,
  onTransfer: ({ transfersUsed }, batch, day, sign) => {
    transfersUsed[batch.site][day] += sign
  },
}
