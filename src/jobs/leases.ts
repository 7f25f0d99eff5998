// The statements by which processes share the jobs. Leases are measured by the database's clock alone: servers' clocks differ.
import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import { Prisma, type PrismaClient, type TransactionClient } from '../database/client.ts'
import { KEPT } from '../database/kept-statements.ts'
import { inTransaction } from '../database/transaction.ts'
import { LeaseLost } from './job-kind.ts'
import { SHORT_SECONDS } from './places.ts'

const kept = Prisma.raw(KEPT)

/** Claims come one after the other, so that two processes never both take the last place of a distributor. */
const CLAIMING = 72707371

/** A job that waits and may begin, or whose lease has run out. */
const due = (now: Date) => Prisma.sql`("state" = 'WAITING' AND "runAfter" <= ${now}::timestamptz
  OR "state" = 'RUNNING' AND "leaseUntil" <= now())`

const claimedShape = z.strictObject({
  distributorId: z.string(),
  id: z.string(),
  kind: z.string(),
  key: z.string(),
  payload: z.unknown(),
  attempts: z.int(),
  mostAttempts: z.int(),
  seconds: z.number(),
  leaseToken: z.string(),
})

/** A job with its lease. */
export type Claimed = z.infer<typeof claimedShape>

/** What a process may take. */
export interface Claim {
  /** Kinds of one lane; those that run count together. */
  kinds: readonly string[]
  /** Only jobs that take no longer, in seconds. */
  mostSeconds: number
  /** Most jobs of the lane that run for one distributor at once, over all processes; where there are several, one is a short one. */
  perDistributor: number
  leaseSeconds: number
  /** Names the process. */
  worker: string
  now: Date
}

/** Whether there is anything to claim or to give up: one cheap statement for processes that look often. */
export async function anyDue(client: PrismaClient, kinds: readonly string[], now: Date): Promise<boolean> {
  const rows = await client.$queryRaw<unknown[]>`${kept}
    SELECT 1 FROM "Job" WHERE "kind" = ANY(${kinds}) AND ${due(now)} LIMIT 1`
  return rows.length > 0
}

/**
 * Takes the next job: of the distributor that has the fewest running, the one that would be done first had each begun when it
 * was asked for. So shorter ones overtake longer ones, and none that has waited for as long as it takes is overtaken by what
 * is asked for afterwards. One that waits for the same as one that runs waits until that has ended. Undefined where there is none.
 */
export async function claimNext(client: PrismaClient, claim: Claim): Promise<Claimed | undefined> {
  const { kinds, mostSeconds, perDistributor, leaseSeconds, worker, now } = claim
  const rows = await inTransaction(client, async (tx) => {
    await tx.$executeRaw`${kept} SELECT pg_advisory_xact_lock(${CLAIMING})`
    return tx.$queryRaw<unknown[]>`${kept}
      WITH "held" AS MATERIALIZED (
        SELECT "distributorId", "kind", "key", "seconds" FROM "Job"
        WHERE "state" = 'RUNNING' AND "leaseUntil" > now() AND "kind" = ANY(${kinds})
      ), "busy" AS (
        SELECT "distributorId", count(*) AS "n", count(*) FILTER (WHERE "seconds" > ${SHORT_SECONDS}) AS "long" FROM "held"
        GROUP BY "distributorId"
      ), "next" AS (
        SELECT "Job"."distributorId", "Job"."id" FROM "Job" LEFT JOIN "busy" USING ("distributorId")
        WHERE "kind" = ANY(${kinds}) AND ${due(now)} AND "attempts" < "mostAttempts"
          AND "seconds" <= ${mostSeconds} AND coalesce("n", 0) < ${perDistributor}
          AND ("seconds" <= ${SHORT_SECONDS} OR coalesce("long", 0) < ${Math.max(1, perDistributor - 1)})
          AND NOT EXISTS (SELECT 1 FROM "held" WHERE "held"."distributorId" = "Job"."distributorId"
            AND "held"."kind" = "Job"."kind" AND "held"."key" = "Job"."key")
        ORDER BY coalesce("n", 0), "createdAt" + make_interval(secs => "seconds"), "id"
        LIMIT 1 FOR UPDATE OF "Job" SKIP LOCKED
      )
      UPDATE "Job" SET "state" = 'RUNNING', "attempts" = "attempts" + 1, "worker" = ${worker},
        "leaseToken" = ${randomUUID()}, "leaseUntil" = now() + make_interval(secs => ${leaseSeconds})
      FROM "next" WHERE "Job"."distributorId" = "next"."distributorId" AND "Job"."id" = "next"."id"
      RETURNING "Job"."distributorId", "Job"."id", "kind", "key", "payload", "attempts", "mostAttempts", "seconds", "leaseToken"`
  })
  return z.array(claimedShape).parse(rows)[0]
}

const tokensShape = z.array(z.object({ leaseToken: z.string() }))

/** Renews leases and answers the tokens of those that are still held. */
export async function renewLeases(
  client: PrismaClient,
  tokens: readonly string[],
  leaseSeconds: number,
): Promise<Set<string>> {
  const read = (rows: unknown) => tokensShape.parse(rows).map(({ leaseToken }) => leaseToken)
  // A row that is locked is being ended by its own attempt: to wait for it would be of no use, and could close a circle.
  const renewed = read(
    await client.$queryRaw`${kept}
    WITH "held" AS (
      SELECT "distributorId", "id" FROM "Job"
      WHERE "state" = 'RUNNING' AND "leaseToken" = ANY(${tokens}) AND "leaseUntil" > now() FOR UPDATE SKIP LOCKED
    )
    UPDATE "Job" SET "leaseUntil" = now() + make_interval(secs => ${leaseSeconds})
    FROM "held" WHERE "Job"."distributorId" = "held"."distributorId" AND "Job"."id" = "held"."id"
    RETURNING "leaseToken"`,
  )
  if (renewed.length === tokens.length) return new Set(renewed)
  const held = read(
    await client.$queryRaw`${kept}
    SELECT "leaseToken" FROM "Job"
    WHERE "state" = 'RUNNING' AND "leaseToken" = ANY(${tokens}) AND "leaseUntil" > now()`,
  )
  return new Set([...renewed, ...held])
}

/** A job's row, if the attempt holds its lease. */
const heldBy = ({ distributorId, id, leaseToken }: Claimed) => Prisma.sql`
  "distributorId" = ${distributorId} AND "id" = ${id} AND "leaseToken" = ${leaseToken} AND "leaseUntil" > now()`

/** Whether the attempt holds the lease of its job. */
export async function isHeld(client: PrismaClient, claimed: Claimed): Promise<boolean> {
  const rows = await client.$queryRaw<unknown[]>`${kept} SELECT 1 FROM "Job" WHERE ${heldBy(claimed)}`
  return rows.length > 0
}

/** Locks the job's row until the transaction ends. Throws `LeaseLost`. */
export async function holdLease(tx: TransactionClient, claimed: Claimed): Promise<void> {
  const rows = await tx.$queryRaw<unknown[]>`${kept} SELECT 1 FROM "Job" WHERE ${heldBy(claimed)} FOR UPDATE`
  if (rows.length === 0) throw new LeaseLost()
}

/** Ends the job as done, and locks its row. Throws `LeaseLost`. */
export async function finishJob(tx: TransactionClient, claimed: Claimed, now: Date): Promise<void> {
  const count = await tx.$executeRaw`${kept}
    UPDATE "Job" SET "state" = 'DONE', "finishedAt" = ${now}::timestamptz, "payload" = NULL, "leaseUntil" = NULL,
      "leaseToken" = NULL
    WHERE ${heldBy(claimed)}`
  if (count === 0) throw new LeaseLost()
}

/** Ends the job as failed, and locks its row. Throws `LeaseLost`. */
export async function failJob(tx: TransactionClient, claimed: Claimed, reason: string, now: Date): Promise<void> {
  const count = await tx.$executeRaw`${kept}
    UPDATE "Job" SET "state" = 'FAILED', "finishedAt" = ${now}::timestamptz, "payload" = NULL, "leaseUntil" = NULL,
      "leaseToken" = NULL, "failure" = ${reason}
    WHERE ${heldBy(claimed)}`
  if (count === 0) throw new LeaseLost()
}

/**
 * Gives the lease back, so that another attempt can begin at once: this one counts, unless it is `uncounted`. The job stays
 * `RUNNING` with a lease that has run out, because another one may wait under its key.
 */
export async function releaseLease(client: PrismaClient, claimed: Claimed, uncounted: boolean): Promise<void> {
  await client.$executeRaw`
    UPDATE "Job" SET "leaseUntil" = now() - interval '1 second', "attempts" = "attempts" - ${uncounted ? 1 : 0}
    WHERE ${heldBy(claimed)}`
}

/**
 * Lets every lease run out. Only where no other process can use the database: what its last process worked on when it ended is
 * then begun again at once.
 */
export async function expireLeases(client: PrismaClient): Promise<void> {
  await client.$executeRaw`
    UPDATE "Job" SET "leaseUntil" = now() - interval '1 second' WHERE "state" = 'RUNNING' AND "leaseUntil" > now()`
}

/** Takes a job whose last attempt lost its lease, to give it up; its row stays locked. Undefined where there is none. */
export async function claimExhausted(tx: TransactionClient, kinds: readonly string[]): Promise<Claimed | undefined> {
  const rows = await tx.$queryRaw<unknown[]>`${kept}
    WITH "next" AS (
      SELECT "distributorId", "id" FROM "Job"
      WHERE "kind" = ANY(${kinds}) AND "state" = 'RUNNING' AND "leaseUntil" <= now() AND "attempts" >= "mostAttempts"
      LIMIT 1 FOR UPDATE SKIP LOCKED
    )
    UPDATE "Job" SET "leaseToken" = ${randomUUID()}, "leaseUntil" = now() + interval '10 seconds'
    FROM "next" WHERE "Job"."distributorId" = "next"."distributorId" AND "Job"."id" = "next"."id"
    RETURNING "Job"."distributorId", "Job"."id", "kind", "key", "payload", "attempts", "mostAttempts", "seconds", "leaseToken"`
  return z.array(claimedShape).parse(rows)[0]
}
