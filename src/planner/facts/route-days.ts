// What each route takes on each of its days (D1).
import type { Route } from '../documents/problem.ts'
import type { Facts } from './facts.ts'

/** A route on a day after today on which it takes something. */
export interface RouteDay {
  route: Route
  day: number
  containers: number
  /** Nominal litres. */
  litres: number
}

/** D1: the days on which routes take something, in the order of the plan's deliveries. */
export function routeDays(facts: Facts): RouteDay[] {
  const found: RouteDay[] = []
  const byRoute = new Map<string, Map<number, RouteDay>>()
  for (const { route, dispatch, quantity, litres } of facts.deliveries) {
    const days = byRoute.get(route.id) ?? new Map<number, RouteDay>()
    const known = days.get(dispatch)
    const day = known ?? { route, day: dispatch, containers: 0, litres: 0 }
    if (!known) {
      found.push(day)
      byRoute.set(route.id, days.set(dispatch, day))
    }
    day.containers += quantity
    day.litres += litres
  }
  return found
}
