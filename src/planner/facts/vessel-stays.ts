// Which batches are in which vessel when, and the days on which a vessel is cleaned or out of service (V3).
import type { Vessel } from '../documents/problem.ts'
import type { BatchFacts, Stay } from './cellar.ts'
import type { SetupFacts } from './setup.ts'

/** The stays in each vessel by its id, those that begin first at the front; a vessel that no batch enters has no entry. */
export function staysByVessel(batches: ReadonlyMap<string, BatchFacts>): Map<string, Stay[]> {
  const stays = new Map<string, Stay[]>()
  for (const batch of batches.values())
    for (const stay of batch.stays) {
      const others = stays.get(stay.vessel.id)
      if (others) others.push(stay)
      else stays.set(stay.vessel.id, [stay])
    }
  // -Infinity, which is before today, is equal to itself.
  for (const inVessel of stays.values())
    inVessel.sort((a, b) => (a.enters < b.enters ? -1 : a.enters > b.enters ? 1 : 0))
  return stays
}

/** Last day of a stay; infinity where the vessel is not emptied in the horizon. */
export function lastDay({ emptiedOn }: Stay): number {
  return emptiedOn ?? Infinity
}

/** First day after a stay on which the next batch may enter: the vessel is cleaned for `turnaroundDays` in between. */
export function freeFrom(stay: Stay): number {
  return lastDay(stay) + stay.vessel.turnaroundDays + 1
}

/** Whether a vessel is not there yet, or is out of service, on a day after today. */
export function isOutOfService(setup: Pick<SetupFacts, 'dayOf'>, vessel: Vessel, day: number): boolean {
  if (vessel.availableFrom !== undefined && day < setup.dayOf(vessel.availableFrom)) return true
  return vessel.outOfService.some(({ from, to }) => setup.dayOf(from) <= day && day <= setup.dayOf(to))
}
