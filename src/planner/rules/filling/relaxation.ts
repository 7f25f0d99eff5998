// L1, lifted to explain a line: its fillers have as many minutes as it takes on every fill day.
import { element } from '../../model/element.ts'
import type { Relaxation } from '../relaxation.ts'
import { siteModelsOf } from '../relaxation-scope.ts'

/** More minutes than any plan uses. */
const PLENTY = 1e15

export const fillerMinutes: Relaxation = {
  rule: 'L1',
  matters: () => true,
  lift: (log, line) => {
    const { model } = log.state
    for (const { fillDays, fillers } of siteModelsOf(log.state, line)) {
      const minutes = new Float64Array(model.horizon)
      for (const day of fillDays) minutes[day] = PLENTY
      for (const filler of fillers) log.swap(element(model.fillers, filler), 'minutes', minutes)
    }
  },
  reason: (state, line) => {
    const filler = siteModelsOf(state, line)[0]?.fillers[0]
    return {
      rule: 'L1',
      code: 'NO_FILLER_MINUTES',
      resource: filler === undefined ? undefined : { kind: 'FILLER', id: element(state.model.fillers, filler).id },
    }
  },
}
