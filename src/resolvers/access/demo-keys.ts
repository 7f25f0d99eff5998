// The keys of the demo: one for each kind of user, made when the demo distributor is.
import type { TransactionClient } from '../../database/client.ts'
import { ALL_SCOPES, type Scope } from '../../scopes.ts'
import { hashKey } from './authenticate.ts'
import { newKey } from './keys.ts'

/** What each user of the demo may do. */
export const DEMO_USERS = {
  sales: ['orders:read', 'orders:write', 'plan:read'],
  planner: ['orders:read', 'plan:read', 'plan:write', 'floor:write'],
  floor: ['orders:read', 'plan:read', 'floor:write'],
  integrator: ['orders:read', 'orders:write', 'plan:read', 'setup:write', 'movements:read', 'webhooks:write'],
  admin: ALL_SCOPES,
} as const satisfies Record<string, readonly Scope[]>

export type DemoUser = keyof typeof DEMO_USERS

/** Makes a key for each user of the demo and answers them; the records keep only their hashes. */
export async function makeDemoKeys(
  tx: TransactionClient,
  distributorId: string,
  createdAt: Date,
): Promise<Record<DemoUser, string>> {
  const keys = { sales: newKey(), planner: newKey(), floor: newKey(), integrator: newKey(), admin: newKey() }
  await tx.apiKey.createMany({
    data: Object.entries(DEMO_USERS).map(([user, scopes]) => ({
      distributorId,
      id: user,
      name: `Demo: ${user}`,
      hash: hashKey(keys[isUser(user) ? user : 'admin']),
      scopes: [...scopes],
      createdAt,
    })),
  })
  return keys
}

function isUser(name: string): name is DemoUser {
  return Object.hasOwn(DEMO_USERS, name)
}
