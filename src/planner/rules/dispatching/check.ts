// D1: what a route takes on a day fits it.
import { mostLitres } from '../../documents/day-limits.ts'
import { LITRE_TOLERANCE } from '../../documents/tolerances.ts'
import type { Facts } from '../../facts/facts.ts'
import { routeDays } from '../../facts/route-days.ts'
import { showLitres, type Violation, violationOn } from '../../facts/violation.ts'

/** D1: the nominal litres that a route dispatches on a day fit what it carries on it. */
export function routeRoom(facts: Facts): Violation[] {
  return routeDays(facts)
    .map((each) => ({ ...each, most: mostLitres(each.route, facts.dateOf(each.day)) }))
    .filter(({ litres, most }) => litres > most + LITRE_TOLERANCE)
    .map(({ route, day, litres, most }) => {
      const message = `route "${route.id}" takes ${showLitres(litres)}, and holds ${showLitres(most)}`
      return violationOn(day, facts, 'D1', message, route.id)
    })
}
