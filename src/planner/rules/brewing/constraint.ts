// V1 and V2 in the search: how many brews a site may still make on a day, and how much a brew may have at most.
import { litresOf } from '../../documents/brews.ts'
import type { SearchConstraint } from '../../model/constraint.ts'
import { limitOn } from '../../model/model.ts'
import { LITRE } from '../../model/units.ts'

export const brewsPerDay: SearchConstraint = {
  rule: 'V1',
  binds: () => true,
  mayBrew: ({ brewsPerDay, brewsOnly }, day, made, brews) => made + brews <= limitOn(brewsPerDay, brewsOnly, day),
  brewUnits: ({ brewOn, brews }, { brewsPerDay, brewsOnly, brewLitres }, _fermenter, made, volume) => {
    const most = litresOf(limitOn(brewsPerDay, brewsOnly, brewOn) - made + brews, brewLitres) * LITRE
    if (most < volume.most) volume.most = most
  },
}

export const brewVolumes: SearchConstraint = {
  rule: 'V2',
  binds: () => true,
  brewUnits: (_batch, _site, { capacity }, _made, volume) => {
    if (capacity < volume.most) volume.most = capacity
  },
}
