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
export function deliveredByLine(deliveries: Plan['deliveries'] = []): Map<string, DeliveredLine> {
  const served = new Map<string, DeliveredLine>()
  for (const { orderLineId, serveOn, from } of deliveries) {
    const { quantity, last } = served.get(orderLineId) ?? { quantity: 0, last: serveOn }
    const taken = from.reduce((sum, each) => sum + each.quantity, quantity)
    served.set(orderLineId, { quantity: taken, last: laterOf(serveOn, last) })
  }
  return served
}
