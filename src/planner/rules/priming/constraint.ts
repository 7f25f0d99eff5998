// V7 in the search: a primed pack is drawn within its window of the ready day, while the yeast lives.
import { endBy, type SearchConstraint } from '../../model/constraint.ts'

export const priming: SearchConstraint = {
  rule: 'V7',
  binds: ({ packs }) => packs.some(({ primingWindow }) => primingWindow >= 0),
  drawDays: (_state, batch, _beer, { primingWindow }, _transfer, days) => {
    if (primingWindow >= 0) endBy(days, batch.primable ? batch.ready + primingWindow : -1)
  },
}
