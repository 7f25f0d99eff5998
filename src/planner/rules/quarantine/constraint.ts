// V8 in the search: a quarantined batch is neither drawn nor moved. Quarantined lots are left out where sources are collected
// (insertion) and where a plan is opened.
import type { SearchConstraint } from '../../model/constraint.ts'

export const quarantine: SearchConstraint = {
  rule: 'V8',
  binds: ({ problem }) => problem.batches.some(({ quarantined }) => quarantined),
  drawDays: (_state, batch, _beer, _pack, _transfer, days) => {
    if (batch.quarantined) days.to = -1
  },
  transferDays: (_, batch, days) => {
    if (batch.quarantined) days.to = -1
  },
}
