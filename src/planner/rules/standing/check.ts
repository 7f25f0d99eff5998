// S1 and S2: what stands at a site fits its stores, and what is past its best leaves them.

import { LITRE_TOLERANCE } from '../../documents/tolerances.ts'
import type { Facts } from '../../facts/facts.ts'
import { storeDays } from '../../facts/store-days.ts'
import { showLitres, type Violation, violationOn } from '../../facts/violation.ts'

/** S1: the nominal litres standing in a climate fit its store, every day; where today's stock alone does not, nothing else may. */
export function storeRoom(facts: Facts): Violation[] {
  const found: Violation[] = []
  for (const { store, litres, stockLitres, planned } of storeDays(facts)) {
    const full = store.capacityLitres + LITRE_TOLERANCE
    for (let day = 0; day < facts.horizon; day++) {
      // With nothing planned in it, a store may be over-full: that is how the day found it.
      if (planned[day] === 0 || (litres[day]! <= full && stockLitres[day]! <= full)) continue
      const message = `${showLitres(litres[day]!)} stand in the ${store.climate} store of "${store.siteId}", which holds ${showLitres(store.capacityLitres)}`
      found.push(violationOn(day, facts, 'S1', message, store.siteId))
    }
  }
  return found
}

/** S2: what is past its best before is emptied the day after; it cannot be dispatched then. */
export function emptiedWhenPastBest(facts: Facts): Violation[] {
  const found: Violation[] = []
  for (const { line, dispatch, sources } of facts.deliveries)
    for (const { parcel } of sources) {
      if (dispatch <= parcel.bestBefore) continue
      const message = `"${parcel.id}" was emptied after ${facts.dateOf(parcel.bestBefore)} and cannot be dispatched`
      found.push(violationOn(dispatch, facts, 'S2', message, line.id, parcel.id))
    }
  return found
}
