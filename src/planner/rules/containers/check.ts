// C1: clean containers are there when they are filled.
import type { Facts } from '../../facts/facts.ts'
import { fleetDays } from '../../facts/fleet-days.ts'
import { type Violation, violationOn } from '../../facts/violation.ts'

/** C1: on every day a fleet has as many clean containers as are filled; dispatched and emptied ones come back washed. */
export function cleanContainers(facts: Facts): Violation[] {
  const found: Violation[] = []
  for (const { fleet, clean, filled } of fleetDays(facts))
    for (let day = 0; day < facts.horizon; day++) {
      const there = Math.max(clean[day]!, 0)
      if (filled[day]! <= there) continue
      const message = `${filled[day]} "${fleet.containerTypeId}" are filled at "${fleet.siteId}" and ${there} are clean`
      found.push(violationOn(day, facts, 'C1', message, fleet.siteId, fleet.containerTypeId))
    }
  return found
}
