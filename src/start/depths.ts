// What the metrics of a server read of the records: the queue of jobs, and how far its memory is behind.
import type { Clock } from '../clock.ts'
import type { PrismaClient } from '../database/client.ts'
import { queueDepth } from '../jobs/queue-depth.ts'
import type { Depths } from '../operations/metrics.ts'
import { revisionLag } from '../records/revision-lag.ts'
import type { Snapshots } from '../records/snapshots.ts'

/** Reads them once. Rejects where the database does not answer. */
export async function depthsOf(
  { client, clock }: { client: PrismaClient; clock: Clock },
  snapshots: Pick<Snapshots, 'revisions'>,
): Promise<Depths> {
  const jobs = await queueDepth(client, clock.now())
  return {
    jobs,
    oldestDueSeconds: Math.max(0, ...jobs.map(({ dueSeconds }) => dueSeconds)),
    revisionLag: await revisionLag(client, snapshots),
  }
}
