// L4, lifted to explain a line: its fillers need no washing between groups.
import { element } from '../../model/element.ts'
import type { FillerModel, LineModel } from '../../model/model.ts'
import type { State } from '../../model/state.ts'
import type { Washing } from '../../model/washing.ts'
import type { Relaxation } from '../relaxation.ts'
import { fills, onlyOne, packOf, siteModelsOf } from '../relaxation-scope.ts'

/** Fillers at the line's sites that fill its containers and are washed between groups. */
function washedFillers(state: State, line: LineModel): { index: number; filler: FillerModel; washing: Washing }[] {
  return siteModelsOf(state, line).flatMap(({ fillers }) =>
    fillers.flatMap((index) => {
      const washing = state.washing[index]
      const filler = element(state.model.fillers, index)
      return washing && fills(filler, packOf(state, line).type) ? [{ index, filler, washing }] : []
    }),
  )
}

export const washing: Relaxation = {
  rule: 'L4',
  matters: (state, line) => washedFillers(state, line).length > 0,
  lift: (log, line) => {
    const { minutesUsed } = log.state
    for (const { index, filler, washing } of washedFillers(log.state, line)) {
      const used = element(minutesUsed, index).map(
        (minutes, day) => minutes - Math.max(0, element(washing.groups, day) - 1) * filler.washMinutes,
      )
      log.swap(minutesUsed, index, used)
      log.swap(filler, 'washMinutes', 0)
    }
  },
  reason: (state, line) => ({
    rule: 'L4',
    code: 'NO_MINUTES_TO_WASH',
    resource: onlyOne(
      'FILLER',
      washedFillers(state, line).map(({ filler }) => filler),
    ),
  }),
}
