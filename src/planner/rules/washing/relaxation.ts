// L4, lifted to explain a line: its fillers need no washing between groups.
import type { LineModel } from '../../model/model.ts'
import type { State } from '../../model/state.ts'
import { all, type Relaxation, sitesOf, swap } from '../relaxation.ts'

/** Fillers at the line's sites that are washed between groups. */
function washedFillers(state: State, line: LineModel): number[] {
  return sitesOf(state, line).flatMap((site) => state.model.sites[site].fillers.filter((each) => state.washing[each]))
}

export const washing: Relaxation = {
  rule: 'L4',
  matters: (state, line) => washedFillers(state, line).length > 0,
  lift: (state, line) =>
    all(
      washedFillers(state, line).flatMap((index) => {
        const filler = state.model.fillers[index]
        const groups = state.washing[index]?.groups ?? []
        const used = state.minutesUsed[index].map(
          (minutes, day) => minutes - Math.max(0, groups[day] - 1) * filler.washMinutes,
        )
        return [swap(state.minutesUsed, index, used), swap(filler, 'washMinutes', 0)]
      }),
    ),
  reason: (state, line) => ({
    rule: 'L4',
    code: 'NO_MINUTES_TO_WASH',
    resource: { kind: 'FILLER', id: state.model.fillers[washedFillers(state, line)[0]].id },
  }),
}
