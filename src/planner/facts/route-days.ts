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
  const days = new Map<string, RouteDay>()
  for (const { route, dispatch, quantity, litres } of facts.deliveries) {
    const key = JSON.stringify([route.id, dispatch])
    const day = days.get(key) ?? { route, day: dispatch, containers: 0, litres: 0 }
    day.containers += quantity
    day.litres += litres
    days.set(key, day)
  }
  return [...days.values()]
}
