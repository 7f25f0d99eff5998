// What accounting books: filled containers and beer that left, came back or were lost, one entry of the ledger each.
import type { LocalDate } from '../planner/documents/index.ts'
import type { Strength } from './strength.ts'

/** How something moved. */
export const MOVEMENT_KINDS = [
  'DISPATCHED',
  'REFUSED',
  'DELIVERED',
  'RETURNED',
  'ISSUED',
  'DESTROYED',
  'CONTAINERS_LOST',
  'BEER_LOST',
] as const
export type MovementKind = (typeof MOVEMENT_KINDS)[number]

/** One movement. It never changes: a correction is a movement of its own, with amounts below zero. */
export interface Movement {
  kind: MovementKind
  /** The revision that booked it, and its number within that. */
  revision: number
  n: number
  /** The epoch of that commit; '' where the log no longer has it. */
  epoch: string
  /** The day on which it counts; of a correction of a closed day the first open one. */
  day: LocalDate
  factId: string
  isAssumed: boolean
  /** Whether it takes an earlier one back. */
  isReversal: boolean
  accountId?: string | undefined
  orderLineId?: string | undefined
  orderNumber?: number | undefined
  orderRef?: string | undefined
  lotId?: string | undefined
  lotCode?: string | undefined
  batchId?: string | undefined
  beerId?: string | undefined
  containerTypeId?: string | undefined
  /** Whole containers; 0 where only beer was lost. */
  containers: number
  /** Litres of beer, nominal ones of containers; 0 of empty containers. */
  litres: number
  strength?: Strength | undefined
  /** Containers whose deposit falls due by it, below zero: is given back. */
  deposits: number
}

/** A deposit is owed while a container is at an account, however it came there or went. */
export function depositsOf(kind: MovementKind, containers: number, isFromAccount: boolean): number {
  if (kind === 'DELIVERED') return containers
  return kind === 'RETURNED' && isFromAccount ? -containers : 0
}
