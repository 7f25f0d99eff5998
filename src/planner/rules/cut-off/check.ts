// B6: an order leaves on a route only on days for which it was placed in time.
import { minutesMissed } from '../../calendar/cut-off.ts'
import type { OrderLine, Route } from '../../documents/problem.ts'
import type { Facts } from '../../facts/facts.ts'
import { type Violation, violationOn } from '../../facts/violation.ts'

/** B6: a delivery leaves no sooner than its route's cut-off allows an order that was placed when its line was. */
export function placedInTime(facts: Facts): Violation[] {
  return facts.deliveries
    .filter(({ line, route, dispatch }) => dispatch < firstDayInTime(facts, line, route))
    .map(({ line, route, dispatch }) => {
      const { daysBefore = 0, at = '' } = route.cutOff ?? {}
      const message = `line "${line.id}" was placed at ${line.placedAt}, after the cut-off of route "${route.id}": ${at}, ${daysBefore} days before it leaves`
      return violationOn(dispatch, facts, 'B6', message, line.id, route.id)
    })
}

/** First day, counted from today, on which a line may leave on a route by its cut-off; 0 where no cut-off concerns it. */
export function firstDayInTime(facts: Facts, { placedAt }: OrderLine, { siteId, cutOff }: Route): number {
  const zone = facts.sites.get(siteId)?.site.timeZone
  if (!cutOff || placedAt === undefined || zone === undefined) return 0
  return Math.ceil(minutesMissed(placedAt, zone, cutOff, facts.today) / (24 * 60))
}
