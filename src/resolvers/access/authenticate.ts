// From the key that a request shows to the distributor that it speaks for and what it may do.
import { createHash } from 'node:crypto'
import type { PrismaClient } from '../../database/client.ts'
import { isScope, type Scope } from '../../scopes.ts'

/** Whom a good key belongs to. */
export interface Caller {
  distributorId: string
  keyId: string
  scopes: ReadonlySet<Scope>
}

/** SHA-256 of a key in hex: what the records keep in its place. Keys are long and random, so that no salt is needed. */
export function hashKey(key: string): string {
  return createHash('sha256').update(key).digest('hex')
}

/** The caller that a key stands for; undefined where the key is unknown or was revoked. One query. */
export async function authenticate(client: PrismaClient, key: string): Promise<Caller | undefined> {
  const row = await client.apiKey.findUnique({ where: { hash: hashKey(key) } })
  if (!row || row.revokedAt) return undefined
  return { distributorId: row.distributorId, keyId: row.id, scopes: new Set(row.scopes.filter(isScope)) }
}
