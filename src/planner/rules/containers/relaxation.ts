// C1, lifted to explain a line: there are as many clean containers of its type as it takes.
import { element } from '../../model/element.ts'
import { fleetIndex } from '../../model/model.ts'
import type { Relaxation } from '../relaxation.ts'
import { packOf, sitesOf } from '../relaxation-scope.ts'

export const cleanContainers: Relaxation = {
  rule: 'C1',
  matters: (state, line) => {
    const { type } = packOf(state, line)
    return sitesOf(state, line).some(
      (site) => state.clean[fleetIndex(state.model, site, type)]?.some((clean) => clean < line.quantity) ?? false,
    )
  },
  lift: (log, line) => {
    const { model, clean } = log.state
    const { type } = packOf(log.state, line)
    for (const site of sitesOf(log.state, line)) log.swap(clean, fleetIndex(model, site, type), undefined)
  },
  reason: (state, line) => {
    const { id } = element(state.model.types, packOf(state, line).type)
    return {
      rule: 'C1',
      code: 'NO_CLEAN_CONTAINERS',
      params: { containerTypeId: id },
      resource: { kind: 'CONTAINER_TYPE', id },
    }
  },
}
