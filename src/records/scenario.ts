// A scenario: a whole problem together with what the planner does not know, the names that people read and the caller's
// own references. Seeds and tests write scenarios; save-setup.ts turns one into rows.
import type { NewRow } from '../database/insert-rows.ts'
import type { Problem } from '../planner/documents/index.ts'

/** What a thing is called beside its id. */
export interface Naming {
  name: string
  /** The caller's own reference, unique among things of one kind. Absent: none. */
  externalRef?: string
}

/** Names by the id that the problem uses. A thing without an entry is called by its id. */
export type Names = Record<string, Naming>

type SheetFields<Name extends 'ContainerType' | 'Beer' | 'Pack' | 'Account', Field extends keyof NewRow<Name>> = Record<
  string,
  Partial<Pick<NewRow<Name>, Field>>
>

/** What sheets need of the set-up and plans do not, by the id that the problem uses. What has no entry has none of it. */
export interface SheetSetup {
  containerTypes?: SheetFields<'ContainerType', 'tareKg' | 'pressureBar'>
  beers?: SheetFields<'Beer', 'finalGravity' | 'originalGravity' | 'abv' | 'allergens'>
  packs?: SheetFields<
    'Pack',
    | ('finingsProduct' | 'finingsMl' | 'finingsPer' | 'sugar' | 'hopsPerLitre' | 'purged')
    | ('targetCarbonation' | 'leastCarbonation' | 'mostCarbonation')
  >
  accounts?: SheetFields<'Account', 'notes'>
  /** Hours in which accounts take deliveries, by account. */
  windows?: Record<string, readonly { weekdays: number[]; from: string; to: string }[]>
  /** The accounts of a route in the order of its drops, by route. */
  drops?: Record<string, readonly string[]>
}

export interface Scenario {
  distributor: {
    name: string
    /** IANA zone that decides which day is today for the distributor. */
    timeZone: string
  }
  /** Its ids become the ids of the rows; its `baseline`, where it has one, becomes the plan in force. */
  problem: Problem
  names: {
    sites?: Names
    vessels?: Names
    beers?: Names
    packs?: Names
    containerTypes?: Names
    fillers?: Names
    /** By `storeKey(store)`. */
    stores?: Names
    /** By `fleetKey(fleet)`; a fleet has no name. */
    fleets?: Record<string, { externalRef?: string }>
    routes?: Names
    accounts?: Names
    /** By order id; `name` becomes the order's note. */
    orders?: Names
    orderLines?: Record<string, { externalRef?: string }>
    /** By batch id; `name` becomes the batch code. */
    batches?: Names
    /** By lot id; `name` becomes the lot code. */
    stock?: Names
  }
  sheets?: SheetSetup
}

/** The id of the row of a store, which the problem knows by its site and climate. */
export function storeKey(store: { siteId: string; climate: string }): string {
  return `${store.siteId}/${store.climate}`
}

/** The id of the row of a fleet, which the problem knows by its site and container type. */
export function fleetKey(fleet: { siteId: string; containerTypeId: string }): string {
  return `${fleet.siteId}/${fleet.containerTypeId}`
}

/** The name and the reference of a thing; without a name it is called by its id. */
export function named(names: Names | undefined, id: string): { name: string; externalRef: string | null } {
  const { name = id, externalRef = null } = names?.[id] ?? {}
  return { name, externalRef }
}
