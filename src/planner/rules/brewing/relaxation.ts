// V1, lifted to explain a line: its sites brew as often as they like on a brew day.
import { all, type Relaxation, sitesOf, swap } from '../relaxation.ts'

export const brewhouse: Relaxation = {
  rule: 'V1',
  matters: (state, line) => sitesOf(state, line).some((site) => state.model.sites[site].fermenters.length > 0),
  lift: (state, line) => all(sitesOf(state, line).map((site) => swap(state.model.sites[site], 'brewsPerDay', 1e9))),
  reason: (state, line) => ({
    rule: 'V1',
    code: 'NO_BREW_LEFT',
    resource: { kind: 'SITE', id: state.model.sites[sitesOf(state, line)[0]].id },
  }),
}
