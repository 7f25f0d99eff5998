// What deliveries serve of each order line.

import type { LocalDate } from '../calendar/days.ts'
import { laterOf } from '../calendar/days.ts'
import type { Plan } from './problem.ts'

export interface DeliveredLine {
  /** Whole containers. */
  quantity: number
  /** The day of the last serving. */
  last: LocalDate
}

/** What deliveries serve, by line; a line of which nothing is served is not there. */
export function deliveredByLine(deliveries: readonly Plan['deliveries'][number][] = []): Map<string, DeliveredLine> {
  const served = new Map<string, DeliveredLine>()
  for (const { orderLineId, serveOn, from } of deliveries) {
    const known = served.get(orderLineId)
    let quantity = known?.quantity ?? 0
    for (const each of from) quantity += each.quantity
    if (!known) served.set(orderLineId, { quantity, last: serveOn })
    else {
      known.quantity = quantity
      known.last = laterOf(serveOn, known.last)
    }
  }
  return served
}
