// Making, replacing and revoking keys. The secret is shown once, when it is made; the records keep only its hash.
import { randomBytes, randomUUID } from 'node:crypto'
import { z } from 'zod'
import type { Prisma, TransactionClient } from '../../database/client.ts'
import { withDistributorLock } from '../../database/distributor-lock.ts'
import { Conflict, issue } from '../../errors.ts'
import { isScope, type Scope } from '../../scopes.ts'
import type { Actor } from '../actor.ts'
import { Faults } from '../faults.ts'
import { globalId } from '../global-id.ts'
import { namedRow } from '../named-row.ts'
import { type Reading, readInput } from '../read-input.ts'
import type { Written } from '../written.ts'
import { hashKey } from './authenticate.ts'

/** Longest time for which the secret before goes on beside a new one: 30 days in minutes. */
export const MOST_OVERLAP_MINUTES = 43_200

const createShape = z.strictObject({
  name: z.string().trim().min(1).max(200),
  scopes: z.array(z.string().max(100)).min(1).max(50),
  expiresAt: z.iso.datetime({ offset: true }).optional(),
  requiresIdempotencyKey: z.boolean().default(false),
})
const rotateShape = z.strictObject({
  id: globalId,
  overlapMinutes: z.int().min(0).max(MOST_OVERLAP_MINUTES).default(0),
})
const revokeShape = z.strictObject({ id: globalId })

export interface CreatedKey extends Written {
  /** The secret, which is shown only now. */
  key: string
}

/**
 * Makes a key with scopes that the caller has too. Throws `InvalidInput` for a scope that does not exist or that the caller lacks, and
 * for an end that is over.
 */
export async function createApiKey(actor: Actor, own: ReadonlySet<Scope>, input: unknown): Promise<CreatedKey> {
  const reading = readInput(createShape, input)
  const { given } = reading
  const faults = new Faults()
  faults.take(reading)
  for (const [index, scope] of given.scopes.entries()) {
    const path = `scopes[${index}]`
    if (!isScope(scope)) faults.note(issue(path, 'UNKNOWN_SCOPE', `there is no scope "${scope}"`))
    else if (!own.has(scope)) faults.note(notYours(path, scope))
  }
  const createdAt = actor.clock.now()
  const expiresAt = given.expiresAt === undefined ? null : new Date(given.expiresAt)
  if (expiresAt && expiresAt <= createdAt) faults.note(issue('expiresAt', 'OUT_OF_RANGE', 'is over already'))
  faults.settle()
  const key = newKey()
  const id = randomUUID()
  const { name, requiresIdempotencyKey } = given
  const row = { name, scopes: [...new Set(given.scopes)], expiresAt, requiresIdempotencyKey }
  const { revision } = await withDistributorLock(actor, actor.distributorId, async ({ tx, log }) => {
    await tx.apiKey.create({
      data: { distributorId: actor.distributorId, id, hash: hashKey(key), createdAt, ...row },
    })
    log('API_KEY_CREATED', { type: 'ApiKey', id }, undefined, row)
  })
  return { id, revision, key }
}

/**
 * Gives a key a new secret; the secret before goes on for a while where that is asked for, and any before it is gone. Throws
 * `InvalidInput`, also where the key has a scope that the caller lacks, `NotFound`, and `Conflict` for a key that is no longer good.
 */
export async function rotateApiKey(actor: Actor, own: ReadonlySet<Scope>, input: unknown): Promise<CreatedKey> {
  const reading = readInput(rotateShape, input)
  const { distributorId } = actor
  const key = newKey()
  const { result: id, revision } = await withDistributorLock(actor, distributorId, async ({ tx, log }) => {
    const { row, faults } = await findKey(tx, distributorId, reading)
    const now = actor.clock.now()
    for (const scope of row.scopes) if (isScope(scope) && !own.has(scope)) faults.note(notYours('id', scope))
    if (row.revokedAt || (row.expiresAt && row.expiresAt <= now))
      faults.refuse('id', new Conflict('STATUS_FORBIDS', 'The key is no longer good: make a new one.'))
    faults.settle()
    const { overlapMinutes } = reading.given
    const former = overlapMinutes > 0 ? row.hash : null
    const formerUntil = former && new Date(now.getTime() + overlapMinutes * 60_000)
    await tx.apiKey.update({
      where: { distributorId_id: { distributorId, id: row.id } },
      data: { hash: hashKey(key), rotatedAt: now, formerHash: former, formerUntil },
    })
    log('API_KEY_ROTATED', { type: 'ApiKey', id: row.id }, shown(row), { ...shown(row), rotatedAt: now, formerUntil })
    return row.id
  })
  return { id, revision, key }
}

/** Revokes a key at once, with the secret before; one that is revoked already stays as it is. Throws `InvalidInput`, `NotFound`. */
export async function revokeApiKey(actor: Actor, input: unknown): Promise<Written> {
  const reading = readInput(revokeShape, input)
  const { distributorId } = actor
  const { result: id, revision } = await withDistributorLock(actor, distributorId, async ({ tx, log }) => {
    const { row, faults } = await findKey(tx, distributorId, reading)
    faults.settle()
    if (row.revokedAt) return row.id
    const revokedAt = actor.clock.now()
    await tx.apiKey.update({ where: { distributorId_id: { distributorId, id: row.id } }, data: { revokedAt } })
    log('API_KEY_REVOKED', { type: 'ApiKey', id: row.id }, shown(row), { ...shown(row), revokedAt })
    return row.id
  })
  return { id, revision }
}

type KeyRow = Prisma.ApiKeyGetPayload<object>

/** The key that an input names, with what is wrong with the input so far. Throws `NotFound` where there is none. */
function findKey(tx: TransactionClient, distributorId: string, reading: Reading<{ id: string }>) {
  return namedRow(reading, 'id', 'ApiKey', (id) =>
    tx.apiKey.findUnique({ where: { distributorId_id: { distributorId, id } } }),
  )
}

/** A key as the change log has it: without any hash. */
function shown({ name, scopes, expiresAt, rotatedAt }: KeyRow) {
  return { name, scopes, expiresAt, rotatedAt }
}

function notYours(path: string, scope: Scope) {
  return issue(path, 'SCOPE_NOT_YOURS', `your key lacks the scope "${scope}"`)
}

/** A new secret: 256 bits of chance behind a prefix by which it is known in a log or a leak. */
export function newKey(): string {
  return `fw_${randomBytes(32).toString('base64url')}`
}
