// How full everything is by day under a plan: fillers, fleets, stores and routes. Each entry names its things by the ids
// of the records; days without an entry have no work or load.

import type { LocalDate, Store } from '../../planner/documents/index.ts'
import { type Facts, fillerDays, fleetDays, routeDays, storeDays } from '../../planner/index.ts'

export interface FillerLoad {
  fillerId: string
  day: LocalDate
  minutesUsed: number
  minutesAvailable: number
}

/** L1: minutes of each filler on each day on which it works. */
export function fillerLoads(facts: Facts): FillerLoad[] {
  const loads = [...fillerDays(facts)].map(({ filler, day, minutes, limit }) => ({
    fillerId: filler.id,
    day: facts.dateOf(day),
    minutesUsed: minutes,
    minutesAvailable: limit,
  }))
  return sortedBy(loads, ({ fillerId, day }) => fillerId + day)
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
  const loads = routeDays(facts).map(({ route, day, containers, litres }) => ({
    routeId: route.id,
    day: facts.dateOf(day),
    containers,
    litres,
    capacityLitres: route.capacityLitres ?? null,
  }))
  return sortedBy(loads, ({ routeId, day }) => routeId + day)
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
  return fleetDays(facts).flatMap(({ fleet: { siteId, containerTypeId }, clean, filled }) =>
    Array.from(clean, (each, day) => ({
      siteId,
      containerTypeId,
      day: facts.dateOf(day),
      clean: each,
      filled: filled[day] ?? 0,
    })),
  )
}

export interface StoreLoad extends Pick<Store, 'siteId' | 'climate' | 'capacityLitres'> {
  day: LocalDate
  litres: number
}

/** S1: nominal litres that stand in each store, day by day. */
export function storeLoads(facts: Facts): StoreLoad[] {
  return storeDays(facts).flatMap(({ store: { siteId, climate, capacityLitres }, litres }) =>
    Array.from(litres, (each, day) => ({
      siteId,
      climate,
      day: facts.dateOf(day),
      // Rounding may leave a trace below zero once all is gone.
      litres: Math.max(0, each),
      capacityLitres,
    })),
  )
}

function sortedBy<Load>(loads: Load[], key: (load: Load) => string): Load[] {
  return loads.sort((a, b) => (key(a) < key(b) ? -1 : key(a) > key(b) ? 1 : 0))
}
