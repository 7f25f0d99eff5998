// How everything is written: under the lock of the distributor's row, with the change log and the revision in the same
// transaction. So the log is gapless and in the order of commit, and revision and epoch say whether a snapshot is current.
import { randomUUID } from 'node:crypto'
import type { Clock } from '../clock.ts'
import { NotFound } from '../errors.ts'
import { runBatchedStatement, type Write } from './batched-statement.ts'
import type { ChangeKind } from './change-kinds.ts'
import { Prisma, type PrismaClient, type TransactionClient } from './client.ts'
import { notifyCommit } from './commits.ts'
import { KEPT } from './kept-statements.ts'
import { KeyedMutex } from './keyed-mutex.ts'
import type { OnceHandle } from './once.ts'
import { inTransaction } from './transaction.ts'
import { isAway } from './unavailable.ts'
import type { Version } from './version.ts'

/** The writers of this process, for each client. */
const writers = new WeakMap<PrismaClient, KeyedMutex>()

/** The thing that a change is about. */
export interface Entity {
  /** The model's name, such as `Order`. */
  type: string
  id: string
}

/** Notes a change, such as `ORDER_PLACED`, with the thing as it was (unless it is new) and as it is (unless it is gone). */
export type Log = (kind: ChangeKind, entity: Entity, before?: object, after?: object) => void

/** Its version is that of the records before the work. */
export interface Locked extends Version {
  /** The transaction's client; nothing else may be used while the lock is held. */
  tx: TransactionClient
  log: Log
  /**
   * Leaves writes to the end of the work: they go to the database in one statement with the change log. None may touch a
   * row that another of them touches, and a caller that leaves some must log something.
   */
  atEnd: (...writes: Write[]) => void
  /** Whose key what is logged after it is noted with; undefined: the program's own. At first that of the one who took the lock. */
  by: (keyId: string | undefined) => void
  /** What is logged after it belongs to the next revision, unless nothing was logged before it. Answers the revision so far. */
  endRevision: () => number
  /** The distributor's time zone and its key for offer tokens. */
  timeZone: string
  offerKey: string
}

export interface Committed<Result> {
  result: Result
  /** The revision after the work: one more where it logged something (or more, by `endRevision`), else the same. */
  revision: number
}

/** Who writes, and with what. */
export interface Writer {
  client: PrismaClient
  clock: Clock
  /** The request where it runs once under its caller's key. */
  once?: OnceHandle | undefined
  /** The id of the API key that the change log names. Absent: the program itself writes. */
  keyId?: string | undefined
}

/**
 * Runs `work` as the only writer of the distributor's records. What it logs becomes entries (revision + 1, 1 …) of the
 * change log; where it logs nothing, the revision stays. After a conflict the work is done again from the start.
 * Answers its result and the version after it; where the request has written before, under its caller's key, what that was.
 * Throws `NotFound` where there is no such distributor, and `Busy` where the database is slow or away.
 */
export async function withDistributorLock<Result>(
  { client, clock, once: handle, keyId }: Writer,
  distributorId: string,
  work: (locked: Locked) => Promise<Result>,
): Promise<Committed<Result> & Version> {
  const once = handle?.take()
  const first = once?.first<Result>()
  if (first) return { ...first, epoch: '' }
  const mutex = writers.get(client) ?? new KeyedMutex()
  writers.set(client, mutex)
  const writing = mutex
    .run(distributorId, () => inTransaction(client, write))
    .catch((error: unknown) => {
      // One has waited for an answer of a database that gives none: those behind it would each wait as long again.
      if (isAway(error)) mutex.refuseWaiting(distributorId, error)
      throw error
    })
  const committed = await (once?.watch(writing) ?? writing)
  if (committed.written) notifyCommit(client, distributorId)
  const { written: _, ...answer } = committed
  return answer

  async function write(tx: TransactionClient): Promise<Committed<Result> & Version & { written: boolean }> {
    // Writers exclude each other, and no one else: a row that refers to the distributor, such as a request's claim, does not wait.
    const [row] = await tx.$queryRaw<Pick<Locked, 'revision' | 'epoch' | 'timeZone' | 'offerKey'>[]>`${Prisma.raw(KEPT)}
      SELECT "revision", "epoch"::text, "timeZone", "offerKey" FROM "Distributor" WHERE "id" = ${distributorId} FOR NO KEY UPDATE`
    if (!row) throw new NotFound('Distributor', distributorId)
    const entries: object[] = []
    const writes: Write[] = []
    let [revision, n, by] = [row.revision, 0, keyId]
    const epoch = randomUUID()
    const at = clock.now()
    const log: Log = (kind, { type, id }, before, after) => {
      if (n === 0) revision += 1
      n += 1
      entries.push({
        distributorId,
        revision,
        n,
        kind,
        entityType: type,
        entityId: id,
        before,
        after,
        at,
        epoch,
        keyId: by,
      })
    }
    const endRevision = () => {
      n = 0
      return revision
    }
    const setBy = (other: string | undefined) => {
      by = other
    }
    await once?.find(tx)
    const result = await work({ tx, log, by: setBy, atEnd: (...more) => writes.push(...more), endRevision, ...row })
    if (entries.length === 0) {
      await once?.note(tx, { result, revision })
      return { result, revision, epoch: row.epoch, written: false }
    }
    await runBatchedStatement(tx, [
      ...writes,
      ...(once?.keep({ result, revision }) ?? []),
      Prisma.sql`UPDATE "Distributor" SET "revision" = ${revision}::int, "epoch" = ${epoch}::uuid WHERE "id" = ${distributorId}`,
      { model: 'ChangeLogEntry', rows: entries },
    ])
    return { result, revision, epoch, written: true }
  }
}
