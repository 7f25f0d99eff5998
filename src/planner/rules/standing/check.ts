// S1 and S2: what stands at a site fits its stores, and what is past its best leaves them.

import { LITRE_TOLERANCE } from '../../documents/tolerances.ts'
import type { Facts } from '../../facts/facts.ts'
import type { Parcel } from '../../facts/packed.ts'
import { showLitres, type Violation, violationOn } from '../../facts/violation.ts'

type Climate = 'COLD' | 'WARM'

/** Changes by day, to be summed up: nominal litres of all that stands, and of stock alone; containers of the plan. */
interface Load {
  litres: Float64Array
  stockLitres: Float64Array
  planned: Float64Array
}

/** S1: the nominal litres standing in a climate fit its store, every day; where today's stock alone does not, nothing else may. */
export function storeRoom(facts: Facts): Violation[] {
  const found: Violation[] = []
  const loads = new Map<string, Load>()
  for (const { siteId, climate } of facts.problem.stores)
    loads.set(keyOf(siteId, climate), {
      litres: new Float64Array(facts.horizon + 1),
      stockLitres: new Float64Array(facts.horizon + 1),
      planned: new Float64Array(facts.horizon + 1),
    })
  for (const parcel of facts.parcels) {
    for (const { delivery, quantity } of parcel.taken) stand(facts, loads, parcel, quantity, delivery.dispatch)
    stand(facts, loads, parcel, parcel.leftQuantity, parcel.emptiedOn ?? facts.horizon)
  }
  for (const { siteId, climate, capacityLitres } of facts.problem.stores) {
    const load = loads.get(keyOf(siteId, climate))
    let [litres, stockLitres, planned] = [0, 0, 0]
    for (let day = 0; load && day < facts.horizon; day++) {
      litres += load.litres[day]!
      stockLitres += load.stockLitres[day]!
      planned += load.planned[day]!
      const full = capacityLitres + LITRE_TOLERANCE
      // With nothing planned in it, a store may be over-full: that is how the day found it.
      if (planned === 0 || (litres <= full && stockLitres <= full)) continue
      const message = `${showLitres(litres)} stand in the ${climate} store of "${siteId}", which holds ${showLitres(capacityLitres)}`
      found.push(violationOn(day, facts, 'S1', message, siteId))
    }
  }
  return found
}

/** Lets containers stand in their conditioning climate until they are fit to leave, then in the cold, until a day. */
function stand(facts: Facts, loads: Map<string, Load>, parcel: Parcel, quantity: number, until: number): void {
  if (quantity === 0) return
  const conditioned = Math.min(Math.max(parcel.fitOn, parcel.standsFrom), until)
  const span = (climate: Climate, from: number, to: number) => {
    const load = loads.get(keyOf(parcel.siteId, climate))
    const [first, after] = [Math.max(from, 0), Math.min(to, facts.horizon)]
    if (!load || first >= after) return
    const litres = quantity * parcel.of.type.nominalLitres
    const add = (days: Float64Array, amount: number) => {
      days[first]! += amount
      days[after]! -= amount
    }
    add(load.litres, litres)
    if (parcel.run) add(load.planned, quantity)
    else add(load.stockLitres, litres)
  }
  span(parcel.of.pack.conditionIn, parcel.standsFrom, conditioned)
  span('COLD', conditioned, until)
}

function keyOf(siteId: string, climate: Climate): string {
  return JSON.stringify([siteId, climate])
}

/** S2: what is past its best before is emptied the day after; it cannot be dispatched then. */
export function emptiedWhenPastBest(facts: Facts): Violation[] {
  return facts.deliveries.flatMap(({ line, dispatch, sources }) =>
    sources
      .filter(({ parcel }) => dispatch > parcel.bestBefore)
      .map(({ parcel }) => {
        const message = `"${parcel.id}" was emptied after ${facts.dateOf(parcel.bestBefore)} and cannot be dispatched`
        return violationOn(dispatch, facts, 'S2', message, line.id, parcel.id)
      }),
  )
}
