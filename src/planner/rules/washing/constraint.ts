// L4 in the search: the minutes of washing that a first set-up of another wash group brings with it.
import type { SearchConstraint } from '../../model/constraint.ts'
import { element } from '../../model/element.ts'
import { countSetup, needsWash, washingOf } from '../../model/washing.ts'

export const washing: SearchConstraint = {
  rule: 'L4',
  binds: (model) => washingOf(model).some((each) => each !== undefined),
  extraMinutes: ({ model, washing }, beer, filler, day) => {
    const of = washing[filler]
    return of && needsWash(of, element(model.beers, beer).washGroup, day)
      ? element(model.fillers, filler).washMinutes
      : 0
  },
  onSetup: ({ model, washing, minutesUsed }, batch, filler, day, sign) => {
    const of = washing[filler]
    if (!of) return
    const washes = countSetup(of, element(model.beers, batch.beer).washGroup, day, sign)
    const used = element(minutesUsed, filler)
    used[day] = element(used, day) + washes * element(model.fillers, filler).washMinutes
  },
}
