// C1: clean containers are there when they are filled.
import type { Fleet } from '../../documents/problem.ts'
import type { Facts } from '../../facts/facts.ts'
import { type Violation, violationOn } from '../../facts/violation.ts'

/** C1: on every day a fleet has as many clean containers as are filled; dispatched and emptied ones come back washed. */
export function cleanContainers(facts: Facts): Violation[] {
  const found: Violation[] = []
  const fleets = new Map(facts.problem.fleets.map((fleet) => [keyOf(fleet.siteId, fleet.containerTypeId), fleet]))
  const changes = new Map([...fleets].map(([key]) => [key, newChanges(facts.horizon)]))
  const filled = (siteId: string, typeId: string, day: number, quantity: number) => {
    const change = changes.get(keyOf(siteId, typeId))
    if (change && facts.inHorizon(day)) change.filled[day]! += quantity
  }
  // What would be clean today or earlier is in `cleanNow` already: only later days add to it.
  const backUnwashed = (siteId: string, typeId: string, day: number, quantity: number) => {
    const key = keyOf(siteId, typeId)
    const clean = day + (fleets.get(key)?.washDays ?? 0)
    const change = changes.get(key)
    if (change && clean >= 1 && clean < facts.horizon) change.back[clean]! += quantity
  }
  for (const fleet of facts.problem.fleets)
    for (const { on, quantity } of fleet.returns)
      backUnwashed(fleet.siteId, fleet.containerTypeId, facts.dayOf(on), quantity)
  for (const { siteId, of, run, quantity, standsFrom, taken, leftQuantity, emptiedOn } of facts.parcels) {
    if (run) filled(siteId, of.type.id, standsFrom, quantity)
    for (const { delivery, quantity: sent } of taken)
      if (delivery.account.returnDays !== undefined)
        backUnwashed(siteId, of.type.id, delivery.serve + delivery.account.returnDays, sent)
    if (emptiedOn !== undefined) backUnwashed(siteId, of.type.id, emptiedOn, leftQuantity)
  }
  for (const [key, fleet] of fleets) found.push(...shortages(facts, fleet, changes.get(key)!))
  return found
}

interface Changes {
  filled: Float64Array
  back: Float64Array
}

function newChanges(horizon: number): Changes {
  return { filled: new Float64Array(horizon), back: new Float64Array(horizon) }
}

function shortages(facts: Facts, fleet: Fleet, { filled, back }: Changes): Violation[] {
  const found: Violation[] = []
  let clean = fleet.cleanNow
  for (let day = 0; day < facts.horizon; day++) {
    clean += back[day]!
    if (filled[day]! > Math.max(clean, 0)) {
      const message = `${filled[day]} "${fleet.containerTypeId}" are filled at "${fleet.siteId}" and ${Math.max(clean, 0)} are clean`
      found.push(violationOn(day, facts, 'C1', message, fleet.siteId, fleet.containerTypeId))
    }
    clean -= filled[day]!
  }
  return found
}

function keyOf(siteId: string, typeId: string): string {
  return JSON.stringify([siteId, typeId])
}
