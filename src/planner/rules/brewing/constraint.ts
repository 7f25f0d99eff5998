// V1 and V2 in the search: how many brews a site may still make on a day, and how much a brew may have at most.
import { litresOf } from '../../documents/brews.ts'
import type { SearchConstraint } from '../../model/constraint.ts'
import { element } from '../../model/element.ts'
import { limitOn } from '../../model/model.ts'
import { LITRE } from '../../model/units.ts'

export const brewsPerDay: SearchConstraint = {
  rule: 'V1',
  binds: () => true,
  mayBrew: ({ model, brewsUsed }, site, day, brews) => {
    const { brewsPerDay, brewsOnly } = element(model.sites, site)
    return element(element(brewsUsed, site), day) + brews <= limitOn(brewsPerDay, brewsOnly, day)
  },
  brewUnits: ({ model, brewsUsed }, batch, volume) => {
    const { brewsPerDay, brewsOnly, brewLitres } = element(model.sites, batch.site)
    const used = element(element(brewsUsed, batch.site), batch.brewOn)
    const free = limitOn(brewsPerDay, brewsOnly, batch.brewOn) - used + batch.brews
    const most = litresOf(free, brewLitres) * LITRE
    if (most < volume.most) volume.most = most
  },
}

export const brewVolumes: SearchConstraint = {
  rule: 'V2',
  binds: () => true,
  brewUnits: ({ model }, batch, volume) => {
    const { capacity } = element(model.vessels, batch.fermenter)
    if (capacity < volume.most) volume.most = capacity
  },
}
