// D1, lifted to explain a line: the routes of its account carry whatever is loaded.
import { all, isAlways, type Relaxation, swap } from '../relaxation.ts'

export const routeRoom: Relaxation = {
  rule: 'D1',
  matters: (state, line) => {
    const { accounts, routes, packs } = state.model
    const units = line.quantity * packs[line.pack].nominal
    return accounts[line.account].routes.some((route) => {
      const room = routes[route].capacity - units
      return !isAlways(line.dueOn + 1, (day) => state.routeUsed[route][day] <= room)
    })
  },
  lift: (state, line) =>
    all(
      state.model.accounts[line.account].routes.map((route) =>
        swap(state.model.routes[route], 'capacity', Number.POSITIVE_INFINITY),
      ),
    ),
  reason: (state, line) => ({
    rule: 'D1',
    code: 'NO_ROUTE_ROOM',
    resource: { kind: 'ROUTE', id: state.model.routes[state.model.accounts[line.account].routes[0]].id },
  }),
}
