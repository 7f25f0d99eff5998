// V1 and V2 in the search: how many brews a site may still make on a day, and how much a brew may have at most.
import { litresOf } from '../../documents/brews.ts'
import type { SearchConstraint } from '../../model/constraint.ts'
import { LITRE } from '../../model/units.ts'

export const brewsPerDay: SearchConstraint = {
  rule: 'V1',
  binds: () => true,
  mayBrew: ({ model, brewsUsed }, site, day, brews) => brewsUsed[site][day] + brews <= model.sites[site].brewsPerDay,
  brewUnits: ({ model, brewsUsed }, batch, most) => {
    const { brewsPerDay, brewLitres } = model.sites[batch.site]
    const free = brewsPerDay - brewsUsed[batch.site][batch.brewOn] + batch.brews
    return Math.min(most, litresOf(free, brewLitres) * LITRE)
  },
}

export const brewVolumes: SearchConstraint = {
  rule: 'V2',
  binds: () => true,
  brewUnits: ({ model }, batch, most) => Math.min(most, model.vessels[batch.fermenter].capacity),
}
