// The container types that the demo and the generated problems share, with their exact volumes.
import type { ContainerTypeDocument } from '../src/planner/documents/index.ts'

/** Litres of an imperial gallon: exactly 4.54609. Casks are whole and half gallons: pin 4.5, firkin 9, kilderkin 18. */
export const IMPERIAL_GALLON_LITRES = 4.54609

/** Pin, firkin and kilderkin (casks), 30 L and 50 L kegs. Volumes in litres; a firkin is 9 imperial gallons = 40.91481 L. */
export const CONTAINER_TYPES = [
  { id: 'pin', kind: 'CASK', nominalLitres: 20.457405 },
  { id: 'firkin', kind: 'CASK', nominalLitres: 40.91481 },
  { id: 'kilderkin', kind: 'CASK', nominalLitres: 81.82962 },
  { id: 'keg-30', kind: 'KEG', nominalLitres: 30 },
  { id: 'keg-50', kind: 'KEG', nominalLitres: 50 },
] as const satisfies readonly ContainerTypeDocument[]

export type ContainerTypeId = (typeof CONTAINER_TYPES)[number]['id']
