// Making and revoking keys. The key itself is shown once, when it is made; the records keep only its hash.
import { randomBytes, randomUUID } from 'node:crypto'
import { z } from 'zod'
import { withDistributorLock } from '../../database/distributor-lock.ts'
import { issue, NotFound } from '../../errors.ts'
import { isScope, type Scope } from '../../scopes.ts'
import type { Actor } from '../actor.ts'
import { Faults } from '../faults.ts'
import { decodeGlobalId } from '../global-id.ts'
import { readInput } from '../read-input.ts'
import type { Written } from '../written.ts'
import { hashKey } from './authenticate.ts'

const createShape = z.strictObject({
  name: z.string().trim().min(1).max(200),
  scopes: z.array(z.string().max(100)).min(1).max(50),
})
const revokeShape = z.strictObject({ id: z.string().min(1).max(500) })

export interface CreatedKey extends Written {
  /** The key, which is shown only now. */
  key: string
}

/** Makes a key with scopes that the caller has too. Throws `InvalidInput` for a scope that does not exist or that the caller lacks. */
export async function createApiKey(actor: Actor, own: ReadonlySet<Scope>, input: unknown): Promise<CreatedKey> {
  const reading = readInput(createShape, input)
  const { given } = reading
  const faults = new Faults()
  faults.take(reading)
  for (const [index, scope] of given.scopes.entries()) {
    const path = `scopes[${index}]`
    if (!isScope(scope)) faults.note(issue(path, 'UNKNOWN_SCOPE', `there is no scope "${scope}"`))
    else if (!own.has(scope)) faults.note(issue(path, 'SCOPE_NOT_YOURS', `your key lacks the scope "${scope}"`))
  }
  faults.settle()
  const key = newKey()
  const id = randomUUID()
  const row = { name: given.name, scopes: [...new Set(given.scopes)] }
  const { revision } = await withDistributorLock(actor, actor.distributorId, async ({ tx, log }) => {
    const createdAt = actor.clock.now()
    await tx.apiKey.create({
      data: { distributorId: actor.distributorId, id, hash: hashKey(key), createdAt, ...row },
    })
    log('API_KEY_CREATED', { type: 'ApiKey', id }, undefined, row)
  })
  return { id, revision, key }
}

/** Revokes a key at once; one that is revoked already stays as it is. Throws `InvalidInput`, `NotFound`. */
export async function revokeApiKey(actor: Actor, input: unknown): Promise<Written> {
  const reading = readInput(revokeShape, input)
  const { given } = reading
  const decoded = decodeGlobalId(given.id)
  const { distributorId } = actor
  const { result: id, revision } = await withDistributorLock(actor, distributorId, async ({ tx, log }) => {
    const row =
      decoded?.kind === 'ApiKey'
        ? await tx.apiKey.findUnique({ where: { distributorId_id: { distributorId, id: decoded.id } } })
        : null
    const faults = new Faults()
    faults.take(reading)
    if (!row) return faults.giveUp('id', new NotFound('ApiKey', given.id))
    faults.settle()
    if (row.revokedAt) return row.id
    const revokedAt = actor.clock.now()
    const { name, scopes } = row
    await tx.apiKey.update({ where: { distributorId_id: { distributorId, id: row.id } }, data: { revokedAt } })
    log('API_KEY_REVOKED', { type: 'ApiKey', id: row.id }, { name, scopes }, { name, scopes, revokedAt })
    return row.id
  })
  return { id, revision }
}

/** A new key: 256 bits of chance behind a prefix by which it is known in a log or a leak. */
export function newKey(): string {
  return `fw_${randomBytes(32).toString('base64url')}`
}
