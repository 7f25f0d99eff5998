// Within the frozen days a promised line is not brought forward: the accounts have made ready for the day that
// the plan in force says. F1 leaves the days of deliveries free, so this is kept where plans are made, and not by the checker.
import { addDays, type LocalDate } from '../calendar/days.ts'
import type { OrderLine, Plan, Problem } from './problem.ts'

type Frozen = Pick<Problem, 'today' | 'frozenDays'>

/** By line: the first day on which deliveries serve some of it. */
export function firstServes(deliveries: Plan['deliveries']): Map<string, LocalDate> {
  const first = new Map<string, LocalDate>()
  for (const { orderLineId, serveOn } of deliveries) {
    const known = first.get(orderLineId)
    if (known === undefined || serveOn < known) first.set(orderLineId, serveOn)
  }
  return first
}

/**
 * The first day on which a promised line may be served that a plan serves from `servedOn` on: that day, the promised one, or the
 * first that is not frozen, whichever is first. A line that comes late may so be served in time again. Undefined where the
 * line's own serve day alone counts: nothing is frozen, nothing is promised, or the plan does not serve it.
 */
export function servedNotBefore(
  { today, frozenDays }: Frozen,
  { promisedOn }: OrderLine,
  servedOn: LocalDate | undefined,
): LocalDate | undefined {
  if (frozenDays === 0 || promisedOn === undefined || servedOn === undefined) return undefined
  return [servedOn, promisedOn, addDays(today, frozenDays)].reduce((first, day) => (day < first ? day : first))
}

/** The line as it is to be placed anew where a plan serves it from `servedOn` on: not brought forward within the frozen days. */
export function notBroughtForward(frozen: Frozen, line: OrderLine, servedOn: LocalDate | undefined): OrderLine {
  const from = servedNotBefore(frozen, line, servedOn)
  return from === undefined || from <= line.serveOn ? line : { ...line, serveOn: from }
}
