// Sends what waits for one webhook: about each thing in the order of what happened, each at least once, again over days.
import { z } from 'zod'
import { Prisma, type PrismaClient } from '../../database/client.ts'
import { type Attempt, type JobServices, jobKind, type WriteResult } from '../../jobs/job-kind.ts'
import { nextAttempt } from '../../webhooks/back-off.ts'
import { MOST_SECONDS, NotAnswered, post } from '../../webhooks/post.ts'
import { signedHeaders } from '../../webhooks/signature.ts'
import { encodeGlobalId } from '../global-id.ts'
import { askToSend } from './ask-to-send.ts'

/** Messages that one job sends; another goes on. */
const AT_ONCE = 50
/** Milliseconds until one looks again where another process sends. */
const BETWEEN_LOOKS = 2000
/** The status by which a receiver says that it wants nothing more. */
const GONE = 410

export interface WebhookServices extends JobServices {
  /** Whether addresses within a network may be connected to. Absent: they may not. */
  webhookPrivateAddresses?: boolean
}

/** Asked for by the database with each change that a webhook wants (`ask_to_send`); its key is the webhook. */
export const SEND_WEBHOOKS = jobKind<object, WebhookServices>({
  name: 'SEND_WEBHOOKS',
  lane: 'QUICK',
  payload: z.strictObject({}),
  attempts: 1000,
  run: async (attempt, _, services) => {
    const { client, clock } = services
    const { distributorId, key } = attempt
    const again =
      (at: Date): WriteResult =>
      (tx) =>
        askToSend(tx, distributorId, key, at)
    if (!(await takeTurn(client, attempt))) {
      const isThere = (await client.webhook.count({ where: { distributorId, id: key } })) > 0
      return isThere ? again(new Date(clock.now().getTime() + BETWEEN_LOOKS)) : undefined
    }
    try {
      for (let sent = 0; sent < AT_ONCE; sent += 1) if (!(await sendNext(attempt, services))) break
    } finally {
      // One that stood still for long has lost its turn to another.
      if (await attempt.stillMine())
        await client.webhook.updateMany({ where: { distributorId, id: key }, data: { sendingUntil: null } })
    }
    const next = await firstWaiting(client, attempt)
    return next && again(next.nextAt)
  },
})

/** Takes the webhook for longer than an attempt takes. False where another process has it, or it is gone. */
async function takeTurn(client: PrismaClient, attempt: Attempt): Promise<boolean> {
  const isFree = Prisma.sql`("sendingUntil" IS NULL OR "sendingUntil" <= now())`
  return (await client.$executeRaw`${holding(attempt)} AND ${isFree}`) > 0
}

/** Keeps it for as long again. */
async function keepTurn(client: PrismaClient, attempt: Attempt): Promise<void> {
  await client.$executeRaw`${holding(attempt)}`
}

function holding({ distributorId, key }: Attempt): Prisma.Sql {
  return Prisma.sql`
    UPDATE "Webhook" SET "sendingUntil" = now() + make_interval(secs => ${2 * MOST_SECONDS})
    WHERE "distributorId" = ${distributorId} AND "id" = ${key}`
}

const dueShape = z.array(z.object({ id: z.string(), nextAt: z.date() }))

/** The first delivery that may be sent: of those about one thing only the oldest may. */
async function firstWaiting(client: PrismaClient, { distributorId, key }: Attempt) {
  const [first] = dueShape.parse(
    await client.$queryRaw`
    SELECT d."id", d."nextAt" FROM "WebhookDelivery" d
    JOIN "Webhook" w ON w."distributorId" = d."distributorId" AND w."id" = d."webhookId" AND w."disabledAt" IS NULL
    WHERE d."distributorId" = ${distributorId} AND d."webhookId" = ${key} AND d."state" = 'WAITING'
      AND NOT EXISTS (SELECT 1 FROM "WebhookDelivery" o
        WHERE o."distributorId" = d."distributorId" AND o."webhookId" = d."webhookId" AND o."state" = 'WAITING'
          AND o."entityId" = d."entityId" AND o."n" < d."n")
    ORDER BY d."nextAt", d."n" LIMIT 1`,
  )
  return first
}

/** Sends what is due and notes how it went. False where nothing is, or the lease is lost. */
async function sendNext(attempt: Attempt, services: WebhookServices): Promise<boolean> {
  const { client, clock, webhookPrivateAddresses: privateAddresses = false } = services
  const { distributorId, key, signal } = attempt
  const first = await firstWaiting(client, attempt)
  const now = clock.now()
  if (!first || first.nextAt > now) return false
  const where = { distributorId_id: { distributorId, id: first.id } }
  const delivery = await client.webhookDelivery.findUniqueOrThrow({ where, include: { webhook: true } })
  const { webhook } = delivery
  const body = bodyOf(delivery, await followsGap(client, delivery))
  const former = webhook.formerSecret && webhook.formerUntil && webhook.formerUntil > now ? [webhook.formerSecret] : []
  const headers = signedHeaders({ id: delivery.id, at: now, body }, [webhook.secret, ...former])
  await keepTurn(client, attempt)
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
  return !signal.aborted && outcome !== GONE
}

type Delivery = Prisma.WebhookDeliveryGetPayload<object>

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

/** Whether the last message about the thing before this one was given up. */
async function followsGap(client: PrismaClient, { distributorId, webhookId, entityId, n }: Delivery): Promise<boolean> {
  const before = await client.webhookDelivery.findFirst({
    where: { distributorId, webhookId, entityId, n: { lt: n } },
    orderBy: { n: 'desc' },
    select: { state: true },
  })
  return before?.state === 'DEAD'
}

/** What is sent, the same in each attempt but for `afterGap`. */
function bodyOf(delivery: Delivery, afterGap: boolean): string {
  const { kind, at, revision, number: n, entityType, entityId, externalRef, isNew } = delivery
  return JSON.stringify({
    type: kind,
    timestamp: at.toISOString(),
    data: {
      ...{ revision, n, entityType, entityId: encodeGlobalId(entityType, entityId), externalRef, isNew, afterGap },
    },
  })
}
