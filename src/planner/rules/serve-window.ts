// B1 to B4 and T3: each delivery arrives in time and not too early, on a route of its account, with containers that
// are fit to leave and good for long enough. All counted in calendar days.
import type { Facts } from '../facts/facts.ts'
import type { DeliveryFacts, Parcel } from '../facts/packed.ts'
import { type Violation, violationOn } from '../facts/violation.ts'

/** B1: served within the line's days; arrival no later than serve day − settle days and at most `maxEarlyDays` before that. */
export function arrivals(facts: Facts): Violation[] {
  const found: Violation[] = []
  const sayOf = ({ line, account, serve }: DeliveryFacts, message: string) =>
    found.push(violationOn(serve, facts, 'B1', message, line.id, account.id))
  for (const delivery of facts.deliveries) {
    const { line, account, arrival, serve, settleDays } = delivery
    const latestServe = line.latestServeOn === undefined ? facts.horizon - 1 : facts.dayOf(line.latestServeOn)
    if (serve < facts.dayOf(line.serveOn))
      sayOf(delivery, `line "${line.id}" is served before its serve day ${line.serveOn}`)
    if (serve > latestServe)
      sayOf(delivery, `line "${line.id}" is served after its latest day ${facts.dateOf(latestServe)}`)
    const latest = serve - settleDays
    const earliest = latest - account.maxEarlyDays
    if (arrival > latest)
      sayOf(
        delivery,
        `line "${line.id}" arrives on ${facts.dateOf(arrival)}, after ${facts.dateOf(latest)}: ${settleDays} days to settle`,
      )
    if (arrival < earliest)
      sayOf(
        delivery,
        `line "${line.id}" arrives on ${facts.dateOf(arrival)}, more than the account's early days before ${facts.dateOf(latest)}`,
      )
  }
  return found
}

/** B2: a delivery travels on a route that its account names; it arrives `transitDays` after its dispatch. */
export function routesOfAccounts(facts: Facts): Violation[] {
  return facts.deliveries
    .filter(({ account, route }) => !account.routeIds.includes(route.id))
    .map(({ line, account, route, dispatch }) =>
      violationOn(dispatch, facts, 'B2', `account "${account.id}" is not on route "${route.id}"`, line.id, route.id),
    )
}

/** B3: no container is dispatched before it is fit to leave. */
export function fitToLeave(facts: Facts): Violation[] {
  return eachSource(facts, ({ line, dispatch }, parcel) => {
    if (dispatch >= parcel.fitOn) return undefined
    const message = `line "${line.id}" takes from "${parcel.id}", which is fit to leave on ${facts.dateOf(parcel.fitOn)}`
    return violationOn(dispatch, facts, 'B3', message, line.id, parcel.id)
  })
}

/** B4: every container is good on the serve day and for the account's days on sale after it. */
export function goodLongEnough(facts: Facts): Violation[] {
  return eachSource(facts, ({ line, account, serve }, parcel) => {
    const until = serve + account.minDaysOnSale
    if (parcel.bestBefore >= until) return undefined
    const best = facts.dateOf(parcel.bestBefore)
    const message = `line "${line.id}" takes from "${parcel.id}", best before ${best}, and needs it to ${facts.dateOf(until)}`
    return violationOn(serve, facts, 'B4', message, line.id, parcel.id)
  })
}

/**
 * T3: spans count calendar days, closed days included. A delivery that would keep B3, B4 and the early end of B1 only
 * if the days on which its site is closed did not count has left them out.
 */
export function calendarDays(facts: Facts): Violation[] {
  return eachSource(facts, (delivery, parcel) => {
    const { line, account, arrival, serve, settleDays } = delivery
    const closed = facts.sites.get(parcel.siteId)?.closed
    if (!closed || closed.size === 0) return undefined
    const short = serve + account.minDaysOnSale - parcel.bestBefore
    const early = serve - settleDays - account.maxEarlyDays - arrival
    if (short <= 0 && early <= 0) return undefined
    const closedBetween = (from: number, to: number) => [...closed].filter((day) => day > from && day <= to).length
    const skipsShelfLife = short > 0 && parcel.run && short <= closedBetween(parcel.filledOn, serve)
    const skipsSettling = early > 0 && early <= closedBetween(arrival, serve)
    if (!skipsShelfLife && !skipsSettling) return undefined
    const what = skipsShelfLife ? 'shelf life' : 'settling'
    const message = `line "${line.id}" keeps its ${what} only if closed days do not count`
    return violationOn(serve, facts, 'T3', message, line.id, parcel.id)
  })
}

function eachSource(
  facts: Facts,
  judge: (delivery: DeliveryFacts, parcel: Parcel) => Violation | undefined,
): Violation[] {
  const violations: Violation[] = []
  for (const delivery of facts.deliveries)
    for (const { parcel } of delivery.sources) {
      const found = judge(delivery, parcel)
      if (found) violations.push(found)
    }
  return violations
}
