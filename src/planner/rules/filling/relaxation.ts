// L1, lifted to explain a line: its fillers have as many minutes as it takes on every fill day.
import { element } from '../../model/element.ts'
import type { Relaxation } from '../relaxation.ts'
import { fills, onlyOne, packOf, siteModelsOf } from '../relaxation-scope.ts'

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
    const { type } = packOf(state, line)
    const fillers = siteModelsOf(state, line).flatMap((site) => site.fillers)
    const able = fillers.map((index) => element(state.model.fillers, index)).filter((filler) => fills(filler, type))
    return { rule: 'L1', code: 'NO_FILLER_MINUTES', resource: onlyOne('FILLER', able) }
  },
}
