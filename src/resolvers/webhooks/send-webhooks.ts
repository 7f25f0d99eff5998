// Sends what waits for one webhook: about each thing in the order of what happened, each at least once, again over days.
import { z } from 'zod'
import type { Prisma } from '../../database/client.ts'
import { type Attempt, type JobServices, jobKind } from '../../jobs/job-kind.ts'
import { nextAttempt } from '../../webhooks/back-off.ts'
import { NotAnswered, post } from '../../webhooks/post.ts'
import { signedHeaders } from '../../webhooks/signature.ts'
import { encodeGlobalId } from '../global-id.ts'
import { askToSend } from './ask-to-send.ts'
import { dueDeliveries, nextDue, type WaitingDelivery } from './due-deliveries.ts'

/** Messages about different things that are sent to one webhook at a time. */
const AT_A_TIME = 8
/** Milliseconds after which a job begins nothing more, so that others get its place; another one goes on. */
const LONGEST = 20_000
/** Milliseconds until it is tried again where a fault of ours ended each attempt. */
const AFTER_FAULT = 60_000
/** The status by which a receiver says that it wants nothing more. */
const GONE = 410

export interface WebhookServices extends JobServices {
  /** Whether addresses within a network may be connected to. Absent: they may not. */
  webhookPrivateAddresses?: boolean
}

/**
 * Asked for by the database with each change that a webhook wants (`ask_to_send`); its key is the webhook. No two run under one
 * key, so its lease says who sends.
 */
export const SEND_WEBHOOKS = jobKind<object, WebhookServices>({
  name: 'SEND_WEBHOOKS',
  lane: 'QUICK',
  payload: z.strictObject({}),
  run: async (attempt, _, services) => {
    const { client, clock } = services
    const { distributorId, key } = attempt
    if (await openWebhook(attempt, services))
      await sendAll(await dueDeliveries(client, attempt, clock.now()), attempt, services)
    const next = await nextDue(client, attempt)
    return next && ((tx) => askToSend(tx, distributorId, key, next))
  },
  failed: async (tx, { distributorId, key }, _, { clock }) =>
    askToSend(tx, distributorId, key, new Date(clock.now().getTime() + AFTER_FAULT)),
})

/** Sends messages about several things, each list in its order, up to the first that fails. */
async function sendAll(
  lists: readonly (readonly WaitingDelivery[])[],
  attempt: Attempt,
  services: WebhookServices,
): Promise<void> {
  const begun = performance.now()
  const left = [...lists]
  const isOver = () => attempt.signal.aborted || performance.now() - begun > LONGEST
  const sendLists = async () => {
    try {
      for (let list = left.shift(); list; list = left.shift())
        for (const delivery of list) {
          if (isOver()) return
          const outcome = await sendOne(delivery, attempt, services)
          if (outcome === 'NO_MORE') left.length = 0
          if (outcome !== 'TAKEN') break
        }
    } catch (error) {
      left.length = 0
      throw error
    }
  }
  // None is left behind: what is still under way when the job has ended would be sent beside the next one's.
  const ends = await Promise.allSettled(Array.from({ length: AT_A_TIME }, sendLists))
  for (const end of ends) if (end.status === 'rejected') throw end.reason
}

/** The webhook, if it is there and in use. */
async function openWebhook({ distributorId, key }: Attempt, { client }: WebhookServices) {
  return client.webhook.findUnique({ where: { distributorId_id: { distributorId, id: key }, disabledAt: null } })
}

/** Makes one attempt and notes how it went; `NO_MORE` where the receiver is to be sent nothing further. */
async function sendOne(
  delivery: WaitingDelivery,
  attempt: Attempt,
  services: WebhookServices,
): Promise<'TAKEN' | 'FAILED' | 'NO_MORE'> {
  const { clock, webhookPrivateAddresses: privateAddresses = false } = services
  const { distributorId, key, signal } = attempt
  // Looked at each time: its secret may have been replaced, and it may have been removed.
  const webhook = await openWebhook(attempt, services)
  if (!webhook) return 'NO_MORE'
  const now = clock.now()
  const former = webhook.formerSecret && webhook.formerUntil && webhook.formerUntil > now ? [webhook.formerSecret] : []
  const body = bodyOf(delivery)
  const headers = signedHeaders({ id: delivery.id, at: now, body }, [webhook.secret, ...former])
  const outcome = await post(new URL(webhook.url), headers, body, { privateAddresses, signal }).catch(
    (error: unknown) => {
      if (error instanceof NotAnswered) return error
      throw error
    },
  )
  const data = afterAttempt(delivery.attempts + 1, outcome, clock.now())
  await attempt.note(async (tx) => {
    // One that was removed meanwhile is gone.
    await tx.webhookDelivery.updateMany({ where: { distributorId, id: delivery.id, state: 'WAITING' }, data })
    if (outcome === GONE)
      await tx.webhook.updateMany({ where: { distributorId, id: key }, data: { disabledAt: clock.now() } })
  })
  if (outcome === GONE) return 'NO_MORE'
  return data.state === 'DELIVERED' ? 'TAKEN' : 'FAILED'
}

/** How a delivery stands after an attempt. Where the receiver wants nothing more it waits until the webhook is switched on again. */
function afterAttempt(
  attempts: number,
  outcome: number | NotAnswered,
  now: Date,
): Prisma.WebhookDeliveryUpdateManyMutationInput {
  const lastStatus = typeof outcome === 'number' ? outcome : null
  if (typeof outcome === 'number' && outcome >= 200 && outcome < 300)
    return { state: 'DELIVERED', attempts, lastStatus, lastFailure: null, endedAt: now }
  const lastFailure = outcome instanceof NotAnswered ? outcome.message : `The answer had the status ${outcome}.`
  if (outcome === GONE) return { lastStatus, lastFailure, attempts }
  const nextAt = nextAttempt(attempts, now, Math.random())
  return nextAt
    ? { attempts, lastStatus, lastFailure, nextAt }
    : { state: 'DEAD', attempts, lastStatus, lastFailure, endedAt: now }
}

/** What is sent, the same in each attempt but for `afterGap`. */
function bodyOf({
  kind,
  at,
  revision,
  number: n,
  entityType,
  entityId,
  externalRef,
  isNew,
  afterGap,
}: WaitingDelivery) {
  return JSON.stringify({
    type: kind,
    timestamp: at.toISOString(),
    data: {
      ...{ revision, n, entityType, entityId: encodeGlobalId(entityType, entityId), externalRef, isNew, afterGap },
    },
  })
}
