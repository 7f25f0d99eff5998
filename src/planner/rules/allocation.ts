// A1 to A3: deliveries take the right containers from the right place, no more than there are, and make lines whole.
import type { Facts } from '../facts/facts.ts'
import { type Violation, violation } from '../facts/violation.ts'

/** A1: sources are of the line's pack and at the route's site; containers are whole, and a delivery has some. */
export function rightSources(facts: Facts): Violation[] {
  const found: Violation[] = []
  const sayOf = (lineId: string, parcelId: string, message: string) =>
    found.push(violation('A1', message, lineId, parcelId))
  for (const { line, route, sources } of facts.deliveries) {
    if (sources.length === 0) found.push(violation('A1', `a delivery of line "${line.id}" takes from nothing`, line.id))
    for (const { parcel, quantity } of sources) {
      if (parcel.of.pack.id !== line.packId)
        sayOf(line.id, parcel.id, `line "${line.id}" wants "${line.packId}"; "${parcel.id}" is "${parcel.of.pack.id}"`)
      if (parcel.siteId !== route.siteId)
        sayOf(
          line.id,
          parcel.id,
          `"${parcel.id}" is at "${parcel.siteId}"; route "${route.id}" leaves from "${route.siteId}"`,
        )
      if (!Number.isInteger(quantity) || quantity < 1)
        sayOf(line.id, parcel.id, `line "${line.id}" takes ${quantity} from "${parcel.id}"`)
    }
  }
  return found
}

/** A2: no run and no lot gives more containers than it has. */
export function noMoreThanThereIs(facts: Facts): Violation[] {
  const found: Violation[] = []
  for (const { id, quantity, taken } of facts.parcels) {
    const given = taken.reduce((sum, one) => sum + one.quantity, 0)
    if (given > quantity) found.push(violation('A2', `"${id}" has ${quantity} containers and gives ${given}`, id))
  }
  return found
}

/** A3: a line is served whole by one delivery or not at all; a splittable one by two at most; the rest is unserved. */
export function wholeLines(facts: Facts): Violation[] {
  const found: Violation[] = []
  const sayOf = (lineId: string, message: string) => found.push(violation('A3', `line "${lineId}" ${message}`, lineId))
  const unserved = new Map<string, number>()
  for (const { orderLineId, quantity } of facts.plan.unserved) {
    if (unserved.has(orderLineId))
      found.push(violation('A3', `line "${orderLineId}" is listed as unserved twice`, orderLineId))
    unserved.set(orderLineId, (unserved.get(orderLineId) ?? 0) + quantity)
  }
  for (const line of facts.problem.orderLines) {
    const deliveries = facts.deliveriesOf.get(line.id) ?? []
    const delivered = deliveries.reduce((sum, { quantity }) => sum + quantity, 0)
    const most = line.splittable ? 2 : 1
    if (deliveries.length > most) sayOf(line.id, `has ${deliveries.length} deliveries, and may have ${most}`)
    if (!line.splittable && delivered > 0 && delivered < line.quantity)
      sayOf(line.id, 'is not splittable and only partly served')
    const stated = unserved.get(line.id) ?? 0
    if (delivered + stated !== line.quantity)
      sayOf(line.id, `is of ${line.quantity} containers; ${delivered} are delivered and ${stated} stated as unserved`)
  }
  return found
}
