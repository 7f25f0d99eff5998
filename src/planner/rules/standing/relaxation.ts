// S1, lifted to explain a line: the stores of its sites hold whatever stands in them.
import { all, isAlways, type Relaxation, sitesOf, swap } from '../relaxation.ts'

export const storeRoom: Relaxation = {
  rule: 'S1',
  matters: (state, line) => {
    const { model, storePlan, storeStock } = state
    const units = line.quantity * model.packs[line.pack].nominal
    // What the line leaves standing may be too much on any day.
    return sitesOf(state, line).some((site) =>
      [site * 2, site * 2 + 1].some((store) => {
        const room = model.stores[store] - units
        return !isAlways(model.horizon, (day) => storePlan[store][day] + storeStock[store][day] <= room)
      }),
    )
  },
  lift: (state, line) =>
    all(
      sitesOf(state, line).flatMap((site) => [
        swap(state.model.stores, site * 2, Number.POSITIVE_INFINITY),
        swap(state.model.stores, site * 2 + 1, Number.POSITIVE_INFINITY),
      ]),
    ),
  reason: (state, line) => ({
    rule: 'S1',
    code: 'NO_STORE_ROOM',
    resource: { kind: 'SITE', id: state.model.sites[sitesOf(state, line)[0]].id },
  }),
}
