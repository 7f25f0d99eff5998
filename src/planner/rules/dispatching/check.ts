// D1: what a route takes on a day fits it.
import type { Route } from '../../documents/problem.ts'
import { LITRE_TOLERANCE } from '../../documents/tolerances.ts'
import type { Facts } from '../../facts/facts.ts'
import { showLitres, type Violation, violationOn } from '../../facts/violation.ts'

/** D1: the nominal litres that a route dispatches on a day fit its `capacityLitres`. */
export function routeRoom(facts: Facts): Violation[] {
  const loads = new Map<string, { route: Route; day: number; litres: number }>()
  for (const { route, dispatch, litres } of facts.deliveries) {
    const key = JSON.stringify([route.id, dispatch])
    const load = loads.get(key) ?? { route, day: dispatch, litres: 0 }
    load.litres += litres
    loads.set(key, load)
  }
  return [...loads.values()]
    .filter(({ route, litres }) => litres > (route.capacityLitres ?? Infinity) + LITRE_TOLERANCE)
    .map(({ route, day, litres }) => {
      const message = `route "${route.id}" takes ${showLitres(litres)}, and holds ${showLitres(route.capacityLitres ?? 0)}`
      return violationOn(day, facts, 'D1', message, route.id)
    })
}
