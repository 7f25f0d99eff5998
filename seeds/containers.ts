// The container types that the demo and the generated problems share, with their exact volumes.
import type { ContainerTypeDocument } from '../src/planner/documents/index.ts'
import { litresOf } from '../src/sheets/volumes.ts'

/** Pin, firkin and kilderkin (casks), 30 L and 50 L kegs. */
export const CONTAINER_TYPES = [
  { id: 'pin', kind: 'CASK', nominalLitres: litresOf('PIN') },
  { id: 'firkin', kind: 'CASK', nominalLitres: litresOf('FIRKIN') },
  { id: 'kilderkin', kind: 'CASK', nominalLitres: litresOf('KILDERKIN') },
  { id: 'keg-30', kind: 'KEG', nominalLitres: 30 },
  { id: 'keg-50', kind: 'KEG', nominalLitres: 50 },
] as const satisfies readonly ContainerTypeDocument[]

export type ContainerTypeId = (typeof CONTAINER_TYPES)[number]['id']
