// S1, lifted to explain a line: the stores of its sites hold whatever stands in them.
import { element } from '../../model/element.ts'
import type { LineModel } from '../../model/model.ts'
import type { State } from '../../model/state.ts'
import type { Relaxation } from '../relaxation.ts'
import { isAlways, onlySite, packOf, sitesOf } from '../relaxation-scope.ts'

/** The stores of a line's sites. */
function storesOf(state: State, line: LineModel): number[] {
  return sitesOf(state, line).flatMap((site) => [site * 2, site * 2 + 1])
}

export const storeRoom: Relaxation = {
  rule: 'S1',
  matters: (state, line) => {
    const { model, storePlan, storeStock } = state
    const units = line.quantity * packOf(state, line).nominal
    // What the line leaves standing may be too much on any day.
    return storesOf(state, line).some((store) => {
      const room = element(model.stores, store) - units
      const [plan, stock] = [element(storePlan, store), element(storeStock, store)]
      return !isAlways(model.horizon, (day) => element(plan, day) + element(stock, day) <= room)
    })
  },
  lift: (log, line) => {
    for (const store of storesOf(log.state, line)) log.swap(log.state.model.stores, store, Number.POSITIVE_INFINITY)
  },
  reason: (state, line) => ({ rule: 'S1', code: 'NO_STORE_ROOM', resource: onlySite(state, line) }),
}
