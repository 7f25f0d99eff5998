// L1, lifted to explain a line: its fillers have as many minutes as it takes on every fill day.
import { all, type Relaxation, sitesOf, swap } from '../relaxation.ts'

/** More minutes than any plan uses. */
const PLENTY = 1e15

export const fillerMinutes: Relaxation = {
  rule: 'L1',
  matters: () => true,
  lift: (state, line) => {
    const { model } = state
    return all(
      sitesOf(state, line).flatMap((site) => {
        const minutes = new Float64Array(model.horizon)
        for (const day of model.sites[site].fillDays) minutes[day] = PLENTY
        return model.sites[site].fillers.map((filler) => swap(model.fillers[filler], 'minutes', minutes))
      }),
    )
  },
  reason: (state, line) => {
    const filler = state.model.sites[sitesOf(state, line)[0]].fillers[0]
    return {
      rule: 'L1',
      code: 'NO_FILLER_MINUTES',
      resource: filler === undefined ? undefined : { kind: 'FILLER', id: state.model.fillers[filler].id },
    }
  },
}
