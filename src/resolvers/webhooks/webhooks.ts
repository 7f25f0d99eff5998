// Webhooks registered, switched on again and removed, and their secrets replaced. A secret is shown once.
import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import { ALL_CHANGE_KINDS } from '../../database/change-kinds.ts'
import type { Prisma, TransactionClient } from '../../database/client.ts'
import { withDistributorLock } from '../../database/distributor-lock.ts'
import { Conflict, issue } from '../../errors.ts'
import { newSecret } from '../../webhooks/signature.ts'
import { MOST_OVERLAP_MINUTES } from '../access/keys.ts'
import { readableKinds } from '../access/may-read.ts'
import type { Actor } from '../actor.ts'
import { Faults } from '../faults.ts'
import { globalId } from '../global-id.ts'
import { namedRow } from '../named-row.ts'
import { type Reading, readInput } from '../read-input.ts'
import type { Written } from '../written.ts'
import { askToSend } from './ask-to-send.ts'

/** Most webhooks of a distributor. */
export const MOST_WEBHOOKS = 20

const registerShape = z.strictObject({
  url: z.string().min(1).max(2000),
  kinds: z.array(z.enum(ALL_CHANGE_KINDS)).min(1).max(ALL_CHANGE_KINDS.length),
})
const rotateShape = z.strictObject({
  webhook: globalId,
  overlapMinutes: z.int().min(0).max(MOST_OVERLAP_MINUTES).default(0),
})
const oneShape = z.strictObject({ webhook: globalId })

export interface WebhookWithSecret extends Written {
  /** The secret, which is shown only now. */
  secret: string
}

/** Registers an address for what happens from now on. Throws `InvalidInput`, and `Conflict` where there are too many. */
export async function registerWebhook(actor: Actor, input: unknown): Promise<WebhookWithSecret> {
  const reading = readInput(registerShape, input)
  const { given } = reading
  const faults = new Faults()
  faults.take(reading)
  if (!reading.unread.includes('url') && !isAddress(given.url)) faults.note(issue('url', 'BAD_WEBHOOK_URL'))
  const { distributorId, clock, mayRead } = actor
  const [id, secret] = [randomUUID(), newSecret()]
  const row = { url: given.url, kinds: [...new Set(given.kinds)] }
  const { revision } = await withDistributorLock(actor, distributorId, async ({ tx, log }) => {
    const count = await tx.webhook.count({ where: { distributorId } })
    if (count >= MOST_WEBHOOKS) faults.refuse('', new Conflict('TOO_MANY_WEBHOOKS'))
    faults.settle()
    log('WEBHOOK_REGISTERED', { type: 'Webhook', id }, undefined, row)
    await tx.webhook.create({
      data: { distributorId, id, ...row, reads: readableKinds(mayRead), secret, createdAt: clock.now() },
    })
  })
  return { id, revision, secret }
}

/** Gives a webhook a new secret; the one before signs beside it for a while where that is asked for. Throws `InvalidInput`, `NotFound`. */
export async function rotateWebhookSecret(actor: Actor, input: unknown): Promise<WebhookWithSecret> {
  const reading = readInput(rotateShape, input)
  const secret = newSecret()
  const { overlapMinutes } = reading.given
  const written = await change(actor, reading, 'WEBHOOK_ROTATED', (row, now) => ({
    secret,
    formerSecret: overlapMinutes > 0 ? row.secret : null,
    formerUntil: overlapMinutes > 0 ? new Date(now.getTime() + overlapMinutes * 60_000) : null,
  }))
  return { ...written, secret }
}

/** Switches a webhook on again, which goes on with what waits. Throws `InvalidInput`, `NotFound`. */
export async function enableWebhook(actor: Actor, input: unknown): Promise<Written> {
  const reading = readInput(oneShape, input)
  return change(actor, reading, 'WEBHOOK_ENABLED', () => ({ disabledAt: null }))
}

/** Removes a webhook with all that it was to be sent. Throws `InvalidInput`, `NotFound`. */
export async function removeWebhook(actor: Actor, input: unknown): Promise<Written> {
  const reading = readInput(oneShape, input)
  const { distributorId } = actor
  const { result: id, revision } = await withDistributorLock(actor, distributorId, async ({ tx, log }) => {
    const row = await findWebhook(tx, distributorId, reading)
    log('WEBHOOK_REMOVED', { type: 'Webhook', id: row.id }, shown(row))
    await tx.webhook.delete({ where: { distributorId_id: { distributorId, id: row.id } } })
    return row.id
  })
  return { id, revision }
}

type WebhookRow = Prisma.WebhookGetPayload<object>

async function change(
  actor: Actor,
  reading: Reading<{ webhook: string }>,
  kind: 'WEBHOOK_ROTATED' | 'WEBHOOK_ENABLED',
  valuesOf: (row: WebhookRow, now: Date) => Prisma.WebhookUpdateInput,
): Promise<Written> {
  const { distributorId, clock } = actor
  const { result: id, revision } = await withDistributorLock(actor, distributorId, async ({ tx, log }) => {
    const row = await findWebhook(tx, distributorId, reading)
    const now = clock.now()
    await tx.webhook.update({
      where: { distributorId_id: { distributorId, id: row.id } },
      data: valuesOf(row, now),
    })
    log(kind, { type: 'Webhook', id: row.id }, shown(row), shown(row))
    await askToSend(tx, distributorId, row.id, now)
    return row.id
  })
  return { id, revision }
}

/** The webhook that an input names, once nothing is wrong with it. Throws `InvalidInput`, `NotFound`. */
export async function findWebhook(
  tx: TransactionClient,
  distributorId: string,
  reading: Reading<{ webhook: string }>,
): Promise<WebhookRow> {
  const { row, faults } = await namedRow(reading, 'webhook', 'Webhook', (id) =>
    tx.webhook.findUnique({ where: { distributorId_id: { distributorId, id } } }),
  )
  faults.settle()
  return row
}

/** A webhook as the change log has it: without any secret. */
function shown({ url, kinds }: WebhookRow) {
  return { url, kinds }
}

/** Whether a text is an address that can be sent to: over HTTP, and without a password that every log would have. */
function isAddress(text: string): boolean {
  if (!URL.canParse(text)) return false
  const { username, password } = new URL(text)
  return /^https?:\/\//i.test(text) && username === '' && password === ''
}
