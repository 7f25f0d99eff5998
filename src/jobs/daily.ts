// Jobs that are done each day: for each distributor one of them waits or runs, always.
import { Prisma } from '../database/client.ts'
import type { JobKind, JobServices } from './job-kind.ts'

/** The key of a daily job. */
export const DAILY_KEY = 'daily'

/**
 * Enqueues each daily kind for each distributor that has none waiting or running, for the next time that its clock on the wall
 * shows the time of the kind. One whose time has passed while no process ran is begun when one does.
 */
export async function enqueueDaily<Services>(
  { client, clock }: JobServices,
  kinds: Iterable<JobKind<never, Services>>,
): Promise<void> {
  const now = clock.now()
  for (const { name, daily, attempts } of kinds) {
    if (daily === undefined) continue
    const local = Prisma.sql`(${now}::timestamptz AT TIME ZONE "timeZone")`
    await client.$executeRaw`
      INSERT INTO "Job" ("distributorId", "id", "kind", "key", "payload", "mostAttempts", "runAfter", "createdAt")
      SELECT "id", gen_random_uuid()::text, ${name}::text, ${DAILY_KEY}::text, '{}'::json, ${attempts}::int,
        (${local}::date + ${daily}::time + CASE WHEN ${local}::time < ${daily}::time THEN interval '0' ELSE interval '1 day' END)
          AT TIME ZONE "timeZone",
        ${now}::timestamptz
      FROM "Distributor"
      WHERE NOT EXISTS (
        SELECT 1 FROM "Job" WHERE "Job"."distributorId" = "Distributor"."id" AND "kind" = ${name} AND "key" = ${DAILY_KEY}
          AND "state" IN ('WAITING', 'RUNNING'))
      ON CONFLICT ("distributorId", "kind", "key") WHERE "state" = 'WAITING' DO NOTHING`
  }
}
