// Where beer and containers can be, as the ledger knows it. Every entry moves an amount from one place to another.

/** Beer is counted in whole millilitres, containers one by one. */
export const UNITS = ['MILLILITRES', 'CONTAINERS'] as const
export type Unit = (typeof UNITS)[number]

/** Where beer and containers come from: places that may be overdrawn. */
export const SOURCES = ['OPENING', 'BREWED', 'BOUGHT', 'FOUND'] as const

/** Where they end, and do not come back from. */
export const SINKS = ['TRUB', 'SET_UP', 'OVERFILL', 'SPOILED', 'REMAINDER', 'LOST', 'DUMPED', 'SCRAPPED'] as const

/** Where they are held; each has a key that says which. */
export const HOLDERS = ['VESSEL', 'PACKED', 'CLEAN', 'FILLED', 'ON_ROAD', 'AT_ACCOUNT', 'DIRTY'] as const

export type Source = (typeof SOURCES)[number]
export type Sink = (typeof SINKS)[number]
export type Holder = (typeof HOLDERS)[number]
export type PlaceKind = Source | Sink | Holder

/** A place as text: its kind, and the ids that say which, parted by bars. */
export type Place = string

/** Millilitres of a batch in its vessel. */
export const vesselPlace = (batchId: string): Place => `VESSEL|${batchId}`
/** Nominal millilitres that were filled into the containers of a lot. */
export const packedPlace = (lotId: string): Place => `PACKED|${lotId}`
/** Clean, empty containers of a type at a site. */
export const cleanPlace = (siteId: string, typeId: string): Place => `CLEAN|${siteId}|${typeId}`
/** Filled containers of a lot that stand at its site. */
export const filledPlace = (lotId: string): Place => `FILLED|${lotId}`
/** Containers of a lot on the road for an order line. */
export const roadPlace = (orderLineId: string, lotId: string): Place => `ON_ROAD|${orderLineId}|${lotId}`
/** Containers of a type and site of origin at an account. */
export const accountPlace = (accountId: string, siteId: string, typeId: string): Place =>
  `AT_ACCOUNT|${accountId}|${siteId}|${typeId}`
/** Returned containers of a type at a site, not yet washed. */
export const dirtyPlace = (siteId: string, typeId: string): Place => `DIRTY|${siteId}|${typeId}`

/** What kind of place it is. */
export function kindOf(place: Place): PlaceKind {
  const kind = place.split('|', 1)[0]
  const known = [...SOURCES, ...SINKS, ...HOLDERS].find((each) => each === kind)
  if (known === undefined) throw new Error(`${place} is no place of the ledger`)
  return known
}

/** The ids that say which place of its kind it is. */
export function keyOf(place: Place): string[] {
  return place.split('|').slice(1)
}

/** Whether a place holds something: its balance is never below zero. */
export function isHolder(place: Place): boolean {
  const kind = kindOf(place)
  return HOLDERS.some((each) => each === kind)
}
