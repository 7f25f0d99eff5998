// C1, lifted to explain a line: there are as many clean containers of its type as it takes.
import { fleetIndex } from '../../model/model.ts'
import { all, isAlways, type Relaxation, sitesOf, swap } from '../relaxation.ts'

export const cleanContainers: Relaxation = {
  rule: 'C1',
  matters: (state, line) => {
    const { type } = state.model.packs[line.pack]
    return sitesOf(state, line).some((site) => {
      const clean = state.clean[fleetIndex(state.model, site, type)]
      return clean !== undefined && !isAlways(clean.length, (day) => clean[day] >= line.quantity)
    })
  },
  lift: (state, line) => {
    const { type } = state.model.packs[line.pack]
    return all(sitesOf(state, line).map((site) => swap(state.clean, fleetIndex(state.model, site, type), undefined)))
  },
  reason: (state, line) => ({
    rule: 'C1',
    code: 'NO_CLEAN_CONTAINERS',
    params: { containerTypeId: state.model.types[state.model.packs[line.pack].type].id },
    resource: { kind: 'CONTAINER_TYPE', id: state.model.types[state.model.packs[line.pack].type].id },
  }),
}
