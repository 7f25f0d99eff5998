// V11, lifted to explain a line: its sites start any number of transfers on a fill day.
import { all, type Relaxation, sitesOf, swap } from '../relaxation.ts'

export const transfers: Relaxation = {
  rule: 'V11',
  matters: (state, line) =>
    state.model.packs[line.pack].bright &&
    sitesOf(state, line).some((site) => Number.isFinite(state.model.sites[site].transfersPerDay)),
  lift: (state, line) =>
    all(sitesOf(state, line).map((site) => swap(state.model.sites[site], 'transfersPerDay', Number.POSITIVE_INFINITY))),
  reason: (state, line) => ({
    rule: 'V11',
    code: 'NO_TRANSFER_LEFT',
    resource: { kind: 'SITE', id: state.model.sites[sitesOf(state, line)[0]].id },
  }),
}
