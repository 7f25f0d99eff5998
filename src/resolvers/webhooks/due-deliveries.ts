// Which messages to a webhook may be sent now: of those about one thing the oldest that wait. Each reading takes as long however many wait.
import { z } from 'zod'
import { Prisma, type PrismaClient } from '../../database/client.ts'
import { KEPT } from '../../database/kept-statements.ts'
import type { Attempt } from '../../jobs/job-kind.ts'
import { groupBy } from '../../records/group.ts'

/** Most messages about different things that are read at once. */
const MOST_THINGS = 100
/** Most messages about one thing that are read at once. */
const MOST_OF_ONE = 20

const kept = Prisma.raw(KEPT)

const deliveryShape = z.object({
  ...{ id: z.string(), kind: z.string(), revision: z.int(), number: z.int(), n: z.bigint() },
  ...{ entityType: z.string(), entityId: z.string(), externalRef: z.string().nullable(), isNew: z.boolean() },
  ...{ at: z.date(), attempts: z.int(), nextAt: z.date() },
  /** Whether the message about the thing before this one was given up. */
  afterGap: z.boolean(),
})
const deliveriesShape = z.array(deliveryShape)

/** A message that waits. */
export type WaitingDelivery = z.output<typeof deliveryShape>

/** The messages that may be sent now: a list for each thing, those that have waited longest first; in each the oldest first. Empty: none may. */
export async function dueDeliveries(
  client: PrismaClient,
  attempt: Attempt,
  now: Date,
): Promise<(readonly WaitingDelivery[])[]> {
  for (;;) {
    const rows = await oldestOfDue(client, attempt, now)
    const about = groupBy(rows, ({ entityId }) => entityId)
    const due: WaitingDelivery[][] = []
    const behind: WaitingDelivery[] = []
    for (const thing of new Set(rows.map(({ entityId }) => entityId))) {
      const waiting = about(thing)
      const end = waiting.findIndex(({ nextAt }) => nextAt > now)
      if (end === 0) behind.push(...waiting.slice(0, 1))
      else due.push(end < 0 ? waiting : waiting.slice(0, end))
    }
    if (behind.length > 0) await putBehind(attempt, behind)
    // What stood behind something could be all that was read.
    if (due.length > 0 || behind.length === 0 || attempt.signal.aborted) return due
  }
}

/** The oldest messages about each of the things that the first of what is due are about. */
async function oldestOfDue(client: PrismaClient, { distributorId, key }: Attempt, now: Date) {
  const ofWebhook = Prisma.sql`"distributorId" = ${distributorId} AND "webhookId" = ${key}`
  return deliveriesShape.parse(
    await client.$queryRaw`${kept}
    WITH "due" AS MATERIALIZED (
      SELECT "entityId", "nextAt", "n" FROM "WebhookDelivery"
      WHERE ${ofWebhook} AND "state" = 'WAITING' AND "nextAt" <= ${now}::timestamptz
      ORDER BY "nextAt", "n" LIMIT ${MOST_THINGS}
    ), "things" AS MATERIALIZED (
      SELECT "entityId", min("nextAt") AS "since", min("n") AS "first" FROM "due" GROUP BY "entityId"
    )
    SELECT "oldest".*, coalesce((
        SELECT "before"."state" = 'DEAD' FROM "WebhookDelivery" "before"
        WHERE ${ofWebhook} AND "before"."entityId" = "oldest"."entityId" AND "before"."n" < "oldest"."n"
        ORDER BY "before"."n" DESC LIMIT 1), false) AS "afterGap"
    FROM "things", LATERAL (
      SELECT "id", "kind", "revision", "number", "n", "entityType", "entityId", "externalRef", "isNew", "at", "attempts", "nextAt"
      FROM "WebhookDelivery" WHERE ${ofWebhook} AND "state" = 'WAITING' AND "entityId" = "things"."entityId"
      ORDER BY "n" LIMIT ${MOST_OF_ONE}
    ) "oldest"
    ORDER BY "things"."since", "things"."first", "oldest"."n"`,
  )
}

/** Lets what waits behind messages that are tried later wait as long as they do, so that it is not read again before. */
async function putBehind(attempt: Attempt, oldest: readonly WaitingDelivery[]): Promise<void> {
  const { distributorId, key } = attempt
  const column = <Value>(of: (delivery: WaitingDelivery) => Value) => oldest.map(of)
  await attempt.note(
    (tx) => tx.$executeRaw`${kept}
      UPDATE "WebhookDelivery" AS d SET "nextAt" = "oldest"."nextAt"
      FROM unnest(${column(({ entityId }) => entityId)}::text[], ${column(({ n }) => n)}::bigint[],
        ${column(({ nextAt }) => nextAt)}::timestamptz[]) AS "oldest"("entityId", "n", "nextAt")
      WHERE d."distributorId" = ${distributorId} AND d."webhookId" = ${key} AND d."state" = 'WAITING'
        AND d."entityId" = "oldest"."entityId" AND d."n" > "oldest"."n" AND d."nextAt" < "oldest"."nextAt"`,
  )
}

const nextShape = z.array(z.object({ nextAt: z.date() }))

/** When to look again for something that may be sent; undefined: nothing waits, or the webhook is switched off. */
export async function nextDue(client: PrismaClient, { distributorId, key }: Attempt): Promise<Date | undefined> {
  const [first] = nextShape.parse(
    await client.$queryRaw`${kept}
    SELECT "nextAt" FROM "WebhookDelivery"
    WHERE "distributorId" = ${distributorId} AND "webhookId" = ${key} AND "state" = 'WAITING'
      AND EXISTS (SELECT 1 FROM "Webhook"
        WHERE "distributorId" = ${distributorId} AND "id" = ${key} AND "disabledAt" IS NULL)
    ORDER BY "nextAt" LIMIT 1`,
  )
  return first?.nextAt
}
