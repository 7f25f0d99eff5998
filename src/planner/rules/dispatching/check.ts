// D1: what a route takes on a day fits it.
import { LITRE_TOLERANCE } from '../../documents/tolerances.ts'
import type { Facts } from '../../facts/facts.ts'
import { routeDays } from '../../facts/route-days.ts'
import { showLitres, type Violation, violationOn } from '../../facts/violation.ts'

/** D1: the nominal litres that a route dispatches on a day fit its `capacityLitres`. */
export function routeRoom(facts: Facts): Violation[] {
  return routeDays(facts)
    .filter(({ route, litres }) => litres > (route.capacityLitres ?? Infinity) + LITRE_TOLERANCE)
    .map(({ route, day, litres }) => {
      const message = `route "${route.id}" takes ${showLitres(litres)}, and holds ${showLitres(route.capacityLitres ?? 0)}`
      return violationOn(day, facts, 'D1', message, route.id)
    })
}
