// What stands in each store day by day (S1): containers condition in their climate, and then wait in the cold.
import type { Store } from '../documents/problem.ts'
import type { Facts } from './facts.ts'
import type { Parcel } from './packed.ts'

/** A store by days after today, one number for each day of the horizon. */
export interface StoreDays {
  store: Store
  /** Nominal litres of all that stands. */
  litres: Float64Array
  /** Nominal litres of today's stock alone. */
  stockLitres: Float64Array
  /** Containers that the plan fills. */
  planned: Float64Array
}

/** S1: the days of every store, in the order of the problem. */
export function storeDays(facts: Facts): StoreDays[] {
  const { horizon, problem } = facts
  const stores: Stores = new Map()
  for (const store of problem.stores) {
    const [litres, stockLitres, planned] = [
      new Float64Array(horizon),
      new Float64Array(horizon),
      new Float64Array(horizon),
    ]
    const ofSite = stores.get(store.siteId) ?? new Map<Store['climate'], StoreDays>()
    stores.set(store.siteId, ofSite.set(store.climate, { store, litres, stockLitres, planned }))
  }
  for (const parcel of facts.parcels) {
    for (const { delivery, quantity } of parcel.taken) stand(stores, parcel, quantity, delivery.dispatch)
    stand(stores, parcel, parcel.leftQuantity, parcel.emptiedOn ?? horizon)
  }
  const days = problem.stores.flatMap(({ siteId, climate }) => stores.get(siteId)?.get(climate) ?? [])
  for (const { litres, stockLitres, planned } of days)
    for (const changes of [litres, stockLitres, planned]) addUp(changes)
  return days
}

/** By site and climate. */
type Stores = Map<string, Map<Store['climate'], StoreDays>>

/** Lets containers stand in their conditioning climate until they are fit to leave, then in the cold, until a day. */
function stand(stores: Stores, parcel: Parcel, quantity: number, until: number): void {
  if (quantity === 0) return
  const conditioned = Math.min(Math.max(parcel.fitOn, parcel.standsFrom), until)
  const ofSite = stores.get(parcel.siteId)
  standIn(ofSite?.get(parcel.of.pack.conditionIn), parcel, quantity, parcel.standsFrom, conditioned)
  standIn(ofSite?.get('COLD'), parcel, quantity, conditioned, until)
}

function standIn(days: StoreDays | undefined, parcel: Parcel, quantity: number, from: number, to: number): void {
  if (!days) return
  const litres = quantity * parcel.of.type.nominalLitres
  addSpan(days.litres, from, to, litres)
  if (parcel.run) addSpan(days.planned, from, to, quantity)
  else addSpan(days.stockLitres, from, to, litres)
}

/** Notes that an amount comes on the day `from` and is gone on the day `to`. */
function addSpan(changes: Float64Array, from: number, to: number, amount: number): void {
  const first = Math.max(from, 0)
  if (first >= Math.min(to, changes.length)) return
  changes[first]! += amount
  if (to < changes.length) changes[to]! -= amount
}

/** Turns what changes on each day into what is there on it. */
function addUp(changes: Float64Array): void {
  for (let day = 1; day < changes.length; day++) changes[day]! += changes[day - 1]!
}
