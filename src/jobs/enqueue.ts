// Asks for a job within the transaction that makes it needed: it is there if and only if that transaction commits.
import { randomUUID } from 'node:crypto'
import type { Clock } from '../clock.ts'
import { Prisma, type TransactionClient } from '../database/client.ts'
import type { JobKind, JobSubject } from './job-kind.ts'

export interface EnqueueOptions {
  /** What it is done for, such as the id of a plan. Where one waits under this key, no second one is made; no two run. Absent: its own id. */
  key?: string
  /** It is not begun earlier. Absent: at once. */
  runAfter?: Date
  /** About how long it takes, in seconds. Shorter ones come sooner. Absent: 0. */
  seconds?: number
}

/** Adds a job. Call `wake` of the process's jobs after the commit, so that it is begun at once. */
export async function enqueue<Payload>(
  { tx, clock }: { tx: TransactionClient; clock: Clock },
  distributorId: string,
  kind: JobKind<Payload, never>,
  payload: Payload,
  options: EnqueueOptions = {},
): Promise<void> {
  const id = randomUUID()
  const now = clock.now()
  const { key = id, runAfter = now, seconds = 0 } = options
  await tx.$executeRaw`
    INSERT INTO "Job" ("distributorId", "id", "kind", "key", "payload", "mostAttempts", "seconds", "runAfter", "createdAt")
    VALUES (${distributorId}, ${id}, ${kind.name}, ${key}, ${kind.text(payload)}::json, ${kind.attempts}, ${seconds},
      ${runAfter}, ${now})
    ON CONFLICT ("distributorId", "kind", "key") WHERE "state" = 'WAITING' DO NOTHING`
}

/**
 * Cancels the jobs of a kind that wait or run under a key. The result of one that runs is refused; call `checkLeases` of the
 * process's jobs after the commit, so that it is stopped at once. Lock the job before what it writes: this comes first.
 */
export async function cancelJobs(
  { tx, clock }: { tx: TransactionClient; clock: Clock },
  { distributorId, key }: JobSubject,
  kind: { name: string },
): Promise<void> {
  await tx.job.updateMany({
    where: { distributorId, kind: kind.name, key, state: { in: ['WAITING', 'RUNNING'] } },
    data: { state: 'CANCELLED', finishedAt: clock.now(), leaseUntil: null, leaseToken: null, payload: Prisma.DbNull },
  })
}
