// V10 in the search: the last draw of a batch from a vessel is at most so many days after the first.
import { beginFrom, endBy, type SearchConstraint } from '../../model/constraint.ts'

export const openDays: SearchConstraint = {
  rule: 'V10',
  binds: ({ beers }) => beers.some(({ maxOpenDays }) => Number.isFinite(maxOpenDays)),
  drawDays: (_state, batch, { maxOpenDays }, { bright }, _transfer, days) => {
    // A batch that stands in a bright vessel was opened there, one in a fermenter there.
    const opened = !bright || batch.fermenter < 0 ? batch.openedOn : Number.POSITIVE_INFINITY
    const first = Math.min(opened, bright ? batch.firstBrightDraw : batch.firstFermenterDraw)
    const last = bright ? batch.lastBrightDraw : batch.lastFermenterDraw
    endBy(days, first + maxOpenDays)
    if (last >= 0) beginFrom(days, last - maxOpenDays)
  },
}
