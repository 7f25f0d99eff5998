// The clean containers of each fleet day by day (C1): what is filled leaves them, what comes back is washed first.
import type { Fleet } from '../documents/problem.ts'
import type { Facts } from './facts.ts'

/** A fleet by days after today, one number for each day of the horizon. */
export interface FleetDays {
  fleet: Fleet
  /** Clean in the morning, before the fills of the day; below zero where more was filled than there were. */
  clean: Float64Array
  filled: Float64Array
}

/** C1: the days of every fleet, in the order of the problem. */
export function fleetDays(facts: Facts): FleetDays[] {
  const { horizon, problem } = facts
  const fleets = new Map<string, FleetDays>()
  for (const fleet of problem.fleets) {
    const days = { fleet, clean: new Float64Array(horizon), filled: new Float64Array(horizon) }
    fleets.set(keyOf(fleet.siteId, fleet.containerTypeId), days)
    for (const { on, quantity } of fleet.returns) comeBack(days, facts.dayOf(on), quantity)
  }
  for (const { siteId, of, run, quantity, standsFrom, taken, leftQuantity, emptiedOn } of facts.parcels) {
    const days = fleets.get(keyOf(siteId, of.type.id))
    if (!days) continue
    if (run && facts.inHorizon(standsFrom)) days.filled[standsFrom]! += quantity
    for (const { delivery, quantity: sent } of taken)
      if (delivery.account.returnDays !== undefined) comeBack(days, delivery.serve + delivery.account.returnDays, sent)
    if (emptiedOn !== undefined) comeBack(days, emptiedOn, leftQuantity)
  }
  for (const days of fleets.values()) addUp(days)
  return [...fleets.values()]
}

/** Notes the containers that come back unwashed on a day. What would be clean today or earlier is in `cleanNow` already. */
function comeBack({ fleet, clean }: FleetDays, on: number, quantity: number): void {
  const day = on + fleet.washDays
  if (day >= 1 && day < clean.length) clean[day]! += quantity
}

/** Turns what becomes clean on each day into what is clean on it. */
function addUp({ fleet, clean, filled }: FleetDays): void {
  let now = fleet.cleanNow
  for (let day = 0; day < clean.length; day++) {
    now += clean[day]!
    clean[day] = now
    now -= filled[day]!
  }
}

function keyOf(siteId: string, typeId: string): string {
  return JSON.stringify([siteId, typeId])
}
