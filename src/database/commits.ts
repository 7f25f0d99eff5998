// Notifies listeners within this process that a distributor's records were changed. Other processes' changes are seen by
// the revision alone.
import type { PrismaClient } from './client.ts'

const waiting = new WeakMap<PrismaClient, Map<string, Set<() => void>>>()

/** Calls `listener` after each commit of the distributor's records through this client, until the answer is called. */
export function onCommit(client: PrismaClient, distributorId: string, listener: () => void): () => void {
  const byDistributor = waiting.get(client) ?? new Map<string, Set<() => void>>()
  waiting.set(client, byDistributor)
  const listeners = byDistributor.get(distributorId) ?? new Set<() => void>()
  byDistributor.set(distributorId, listeners)
  listeners.add(listener)
  return () => listeners.delete(listener)
}

/** Says that a change of the distributor's records was committed. */
export function notifyCommit(client: PrismaClient, distributorId: string): void {
  for (const listener of waiting.get(client)?.get(distributorId) ?? []) listener()
}
