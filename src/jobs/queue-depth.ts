// How many jobs wait and run, of all processes.
import { z } from 'zod'
import type { PrismaClient } from '../database/client.ts'

const depthsShape = z.array(z.object({ kind: z.string(), state: z.string(), count: z.int(), dueSeconds: z.number() }))

/** Jobs by kind and state: `due`, `later` or `running`; with the seconds for which the oldest of them has been due, 0 where it is not. */
export async function queueDepth(client: PrismaClient, now: Date) {
  const rows = await client.$queryRaw`
    SELECT "kind", "state", count(*)::int AS "count", coalesce(max("dueSeconds") FILTER (WHERE "state" = 'due'), 0)::float AS "dueSeconds"
    FROM (
      SELECT "kind", extract(epoch FROM ${now}::timestamptz - "runAfter") AS "dueSeconds",
        CASE WHEN "state" = 'RUNNING' THEN 'running' WHEN "runAfter" <= ${now}::timestamptz THEN 'due' ELSE 'later' END AS "state"
      FROM "Job" WHERE "state" IN ('WAITING', 'RUNNING')
    ) "open" GROUP BY "kind", "state" ORDER BY "kind", "state"`
  return depthsShape.parse(rows)
}
