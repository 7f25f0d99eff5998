// What was sent to a webhook: a test call, and what was given up sent once more.
import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import { withDistributorLock } from '../../database/distributor-lock.ts'
import { Conflict } from '../../errors.ts'
import type { Actor } from '../actor.ts'
import { globalId } from '../global-id.ts'
import { namedRow } from '../named-row.ts'
import { readInput } from '../read-input.ts'
import type { Written } from '../written.ts'
import { askToSend } from './ask-to-send.ts'
import { findWebhook } from './webhooks.ts'

/** The kind of a test call. */
export const TEST = 'TEST'

const testShape = z.strictObject({ webhook: globalId })
const resendShape = z.strictObject({ delivery: globalId })

/** Sends a message that tells of nothing, the way that others go. Answers the delivery. Throws `InvalidInput`, `NotFound`, `Conflict`. */
export async function testWebhook(actor: Actor, input: unknown): Promise<Written> {
  const reading = readInput(testShape, input)
  const { distributorId, clock } = actor
  const id = randomUUID()
  const { revision } = await withDistributorLock(actor, distributorId, async ({ tx, revision }) => {
    const webhook = await findWebhook(tx, distributorId, reading)
    if (webhook.disabledAt) throw new Conflict('WEBHOOK_DISABLED')
    const at = clock.now()
    const about = { kind: TEST, revision, number: 0, entityType: 'Webhook', entityId: webhook.id, isNew: false }
    await tx.webhookDelivery.create({
      data: { distributorId, id, webhookId: webhook.id, ...about, at, nextAt: at },
    })
    await askToSend(tx, distributorId, webhook.id, at)
  })
  return { id, revision }
}

/** Sends again what was given up or taken, with the same id. Throws `InvalidInput`, `NotFound`, and `Conflict` where it waits anyway. */
export async function resendWebhookDelivery(actor: Actor, input: unknown): Promise<Written> {
  const reading = readInput(resendShape, input)
  const { distributorId, clock } = actor
  const { result: id, revision } = await withDistributorLock(actor, distributorId, async ({ tx }) => {
    const { row, faults } = await namedRow(reading, 'delivery', 'WebhookDelivery', (id) =>
      tx.webhookDelivery.findUnique({ where: { distributorId_id: { distributorId, id } } }),
    )
    if (row.state === 'WAITING')
      faults.refuse('delivery', new Conflict('STATUS_FORBIDS', 'The delivery waits already.'))
    faults.settle()
    const nextAt = clock.now()
    await tx.webhookDelivery.update({
      where: { distributorId_id: { distributorId, id: row.id } },
      data: { state: 'WAITING', attempts: 0, nextAt, endedAt: null },
    })
    await askToSend(tx, distributorId, row.webhookId, nextAt)
    return row.id
  })
  return { id, revision }
}
