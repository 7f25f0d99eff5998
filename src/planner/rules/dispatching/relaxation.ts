// D1, lifted to explain a line: the routes of its account carry whatever is loaded.
import { element } from '../../model/element.ts'
import type { Relaxation } from '../relaxation.ts'
import { isAlways, onlyOne, packOf, routesOf } from '../relaxation-scope.ts'

export const routeRoom: Relaxation = {
  rule: 'D1',
  matters: (state, line) => {
    const { accounts, routes } = state.model
    const units = line.quantity * packOf(state, line).nominal
    return element(accounts, line.account).routes.some((route) => {
      const room = element(routes, route).capacity - units
      const used = element(state.routeUsed, route)
      return !isAlways(Math.min(line.dueOn + 1, used.length), (day) => element(used, day) <= room)
    })
  },
  lift: (log, line) => {
    for (const route of routesOf(log.state, line)) log.swap(route, 'capacity', Number.POSITIVE_INFINITY)
  },
  reason: (state, line) => ({ rule: 'D1', code: 'NO_ROUTE_ROOM', resource: onlyOne('ROUTE', routesOf(state, line)) }),
}
