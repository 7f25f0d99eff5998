// How full everything is by day under a plan: fillers, fleets, stores and routes. Each entry names its things by the ids
// of the records; days without an entry have no work or load.

import type { LocalDate } from '../../planner/documents/index.ts'
import type { Facts, Parcel } from '../../planner/index.ts'

export interface FillerLoad {
  fillerId: string
  day: LocalDate
  minutesUsed: number
  minutesAvailable: number
}

/** L1: minutes of each filler on each day on which it works. */
export function fillerLoads(facts: Facts): FillerLoad[] {
  const loads = new Map<string, FillerLoad>()
  const add = (filler: Facts['runs'][number]['filler'], on: number, minutes: number) => {
    const day = facts.dateOf(on)
    const key = JSON.stringify([filler.id, day])
    const load = loads.get(key) ?? {
      fillerId: filler.id,
      day,
      minutesUsed: 0,
      minutesAvailable: new Map(Object.entries(filler.minutesOn)).get(day) ?? filler.minutesPerDay,
    }
    load.minutesUsed += minutes
    loads.set(key, load)
  }
  for (const { filler, day, run, of } of facts.runs)
    add(filler, day, (new Map(Object.entries(filler.minutesEach)).get(of.type.id) ?? 0) * run.quantity)
  for (const { filler, day, minutes } of facts.setUps) add(filler, day, minutes)
  return sortedBy([...loads.values()], ({ fillerId, day }) => fillerId + day)
}

export interface RouteLoad {
  routeId: string
  day: LocalDate
  containers: number
  litres: number
  /** Null: no limit. */
  capacityLitres: number | null
}

/** D1: what each route takes on each day on which it takes something. */
export function routeLoads(facts: Facts): RouteLoad[] {
  const loads = new Map<string, RouteLoad>()
  for (const { route, dispatch, quantity, litres } of facts.deliveries) {
    const day = facts.dateOf(dispatch)
    const key = JSON.stringify([route.id, day])
    const capacityLitres = route.capacityLitres ?? null
    const load = loads.get(key) ?? { routeId: route.id, day, containers: 0, litres: 0, capacityLitres }
    load.containers += quantity
    load.litres += litres
    loads.set(key, load)
  }
  return sortedBy([...loads.values()], ({ routeId, day }) => routeId + day)
}

export interface CleanContainers {
  siteId: string
  containerTypeId: string
  day: LocalDate
  /** Clean in the morning, before the fills of the day. */
  clean: number
  filled: number
}

/** C1: clean containers of each fleet, day by day. */
export function cleanContainers(facts: Facts): CleanContainers[] {
  const { horizon, problem } = facts
  const lists: CleanContainers[] = []
  for (const fleet of problem.fleets) {
    const back = new Float64Array(horizon)
    const filled = new Float64Array(horizon)
    const returned = (day: number, quantity: number) => {
      const clean = day + fleet.washDays
      if (clean >= 1 && clean < horizon) back[clean] = (back[clean] ?? 0) + quantity
    }
    for (const { on, quantity } of fleet.returns) returned(facts.dayOf(on), quantity)
    for (const parcel of facts.parcels) {
      if (parcel.siteId !== fleet.siteId || parcel.of.type.id !== fleet.containerTypeId) continue
      if (parcel.run && facts.inHorizon(parcel.standsFrom))
        filled[parcel.standsFrom] = (filled[parcel.standsFrom] ?? 0) + parcel.quantity
      for (const { delivery, quantity } of parcel.taken)
        if (delivery.account.returnDays !== undefined) returned(delivery.serve + delivery.account.returnDays, quantity)
      if (parcel.emptiedOn !== undefined) returned(parcel.emptiedOn, parcel.leftQuantity)
    }
    let clean = fleet.cleanNow
    for (let day = 0; day < horizon; day++) {
      clean += back[day] ?? 0
      const { siteId, containerTypeId } = fleet
      lists.push({ siteId, containerTypeId, day: facts.dateOf(day), clean, filled: filled[day] ?? 0 })
      clean -= filled[day] ?? 0
    }
  }
  return lists
}

export interface StoreLoad {
  siteId: string
  climate: 'COLD' | 'WARM'
  day: LocalDate
  litres: number
  capacityLitres: number
}

/** S1: nominal litres that stand in each store, day by day. */
export function storeLoads(facts: Facts): StoreLoad[] {
  const { horizon, problem } = facts
  return problem.stores.flatMap((store) => {
    const change = new Float64Array(horizon + 1)
    const stand = (parcel: Parcel, quantity: number, until: number) => {
      const fit = Math.min(Math.max(parcel.fitOn, parcel.standsFrom), until)
      const spans = [
        [parcel.of.pack.conditionIn, parcel.standsFrom, fit],
        ['COLD', fit, until],
      ] as const
      for (const [climate, from, to] of spans) {
        const [first, after] = [Math.max(from, 0), Math.min(to, horizon)]
        if (climate !== store.climate || first >= after) continue
        const litres = quantity * parcel.of.type.nominalLitres
        change[first] = (change[first] ?? 0) + litres
        change[after] = (change[after] ?? 0) - litres
      }
    }
    for (const parcel of facts.parcels) {
      if (parcel.siteId !== store.siteId) continue
      for (const { delivery, quantity } of parcel.taken) stand(parcel, quantity, delivery.dispatch)
      stand(parcel, parcel.leftQuantity, parcel.emptiedOn ?? horizon)
    }
    const { siteId, climate, capacityLitres } = store
    let litres = 0
    return Array.from({ length: horizon }, (_, day) => {
      litres += change[day] ?? 0
      return { siteId, climate, day: facts.dateOf(day), litres: Math.max(0, litres), capacityLitres }
    })
  })
}

function sortedBy<Entry>(entries: Entry[], key: (entry: Entry) => string): Entry[] {
  return entries.sort((a, b) => (key(a) < key(b) ? -1 : key(a) > key(b) ? 1 : 0))
}
