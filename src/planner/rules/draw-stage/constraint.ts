// V4 in the search: from the fermenter between ready day and transfer, from a bright vessel some days after the transfer.
import { beginFrom, endBy, type SearchConstraint } from '../../model/constraint.ts'

export const drawStage: SearchConstraint = {
  rule: 'V4',
  binds: () => true,
  drawDays: (_, batch, beer, pack, transfer, days) => {
    if (pack.bright) {
      const transferOn = transfer ? transfer.on : batch.transferOn
      if (!transfer && batch.fermenter >= 0 && transferOn < 0) days.to = -1
      else beginFrom(days, transferOn + beer.brightDays)
      return
    }
    beginFrom(days, batch.ready)
    if (batch.fermenter < 0) days.to = -1
    else if (batch.transferOn >= 0) endBy(days, batch.transferOn)
  },
  transferDays: (_, batch, days) => {
    beginFrom(days, batch.ready)
    beginFrom(days, batch.lastFermenterDraw)
  },
}
