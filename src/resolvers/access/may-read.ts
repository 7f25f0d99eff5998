// Which records a caller may read by its scopes, by their kind: what an answer tells of things beside the one that was asked for.
import type { Scope } from '../../scopes.ts'

/** Kinds of records whose fields need a scope: any one of those named. Their types in the schema say the same. */
const READERS: Readonly<Record<string, readonly Scope[]>> = {
  ApiKey: ['keys:write'],
  Comparison: ['plan:read'],
  Fact: ['floor:write', 'plan:read'],
  FillRun: ['plan:read'],
  Order: ['orders:read'],
  OrderLine: ['orders:read'],
  Plan: ['plan:read'],
  PlannedBrew: ['plan:read'],
  PlannedTransfer: ['plan:read'],
  Reservation: ['orders:read'],
  Webhook: ['webhooks:write'],
  WebhookDelivery: ['webhooks:write'],
}

/** Kinds of records that every key of the distributor reads. */
const OPEN: ReadonlySet<string> = new Set([
  'Account',
  'Batch',
  'Beer',
  'ContainerType',
  'Distributor',
  'Filler',
  'Fleet',
  'Pack',
  'Route',
  'Site',
  'StockLot',
  'Store',
  'Vessel',
])

/** Whether a caller may read records of a kind, such as `OrderLine`; not where the kind is not known. */
export type MayRead = (kind: string) => boolean

/** Kinds of records that a caller may read; absent: the program itself, which may read all. */
export function readableKinds(mayRead: MayRead = () => true): string[] {
  return [...OPEN, ...Object.keys(READERS)].filter(mayRead)
}

/** What a key with these scopes may read. */
export function mayReadWith(scopes: ReadonlySet<Scope>): MayRead {
  return (kind) => OPEN.has(kind) || (READERS[kind] ?? []).some((scope) => scopes.has(scope))
}
