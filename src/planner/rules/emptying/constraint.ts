// V5 in the search: a batch is drawn and moved until the day by which its vessel must be empty.
import { endBy, type SearchConstraint } from '../../model/constraint.ts'
import { deadline } from '../../model/sizing.ts'

export const emptiedInTime: SearchConstraint = {
  rule: 'V5',
  binds: () => true,
  drawDays: ({ model }, batch, _beer, pack, transfer, days) => {
    if (!pack.bright) {
      endBy(days, batch.fermenterDeadline)
      return
    }
    const last = deadline(model, batch, transfer ? transfer.on : batch.transferOn)
    // T4: what a transfer brings cannot be gone on the same day.
    if (transfer && last <= transfer.on) days.to = -1
    else endBy(days, last)
  },
  transferDays: (_, batch, days) => {
    endBy(days, batch.fermenterDeadline)
  },
}
