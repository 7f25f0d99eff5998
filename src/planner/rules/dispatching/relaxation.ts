// D1, lifted to explain a line: the routes of its account carry whatever is loaded.
import { element } from '../../model/element.ts'
import { limitOn, noneOfTheirOwn } from '../../model/model.ts'
import type { Relaxation } from '../relaxation.ts'
import { isAlways, onlyOne, packOf, routesOf } from '../relaxation-scope.ts'

export const routeRoom: Relaxation = {
  rule: 'D1',
  matters: (state, line) => {
    const { accounts, routes } = state.model
    const units = line.quantity * packOf(state, line).nominal
    return element(accounts, line.account).routes.some((route) => {
      const { capacity, capacityOnly } = element(routes, route)
      const used = element(state.routeUsed, route)
      const fits = (day: number) => element(used, day) <= limitOn(capacity, capacityOnly, day) - units
      return !isAlways(Math.min(line.dueOn + 1, used.length), fits)
    })
  },
  lift: (log, line) => {
    for (const route of routesOf(log.state, line)) {
      log.swap(route, 'capacity', Number.POSITIVE_INFINITY)
      log.swap(route, 'capacityOnly', noneOfTheirOwn(route.capacityOnly))
    }
  },
  reason: (state, line) => ({ rule: 'D1', code: 'NO_ROUTE_ROOM', resource: onlyOne('ROUTE', routesOf(state, line)) }),
}
