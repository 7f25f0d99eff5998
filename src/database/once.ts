// A request that runs once under its caller's key: claimed before it runs, and what it has written is noted in the transaction
// that writes it, so that neither a second server nor a crash lets it run twice.
import { randomUUID } from 'node:crypto'
import { Busy, Conflict } from '../errors.ts'
import { Prisma, type PrismaClient, type TransactionClient } from './client.ts'

/** Milliseconds for which no other may take over a request, from when its process last said that it works on it. */
export const CLAIM_MILLISECONDS = 60_000

/** Which request it is. */
export interface RequestKey {
  distributorId: string
  /** The id of the API key, a space, and the key that the caller gave. */
  key: string
  /** SHA-256 of the payload, in hex. */
  payloadHash: string
}

/** What a request has written, and the revision that it made. */
export interface First<Result> {
  result: Result
  revision: number
}

/** A request that is claimed. */
export class OnceHandle {
  readonly key: string
  readonly #distributorId: string
  readonly #token: string
  readonly #written: string | null
  #isTaken = false
  /** Whether a write of it was given up because too much was under way, or the database was slow or away. */
  wasBusy = false

  /** `written` is what an earlier attempt has written that gave no answer; null: nothing. */
  constructor({ distributorId, key }: RequestKey, token: string, written: string | null) {
    this.key = key
    this.#distributorId = distributorId
    this.#token = token
    this.#written = written
  }

  /** The handle for the first write of the request; undefined for others, which are not what the caller asked for. */
  take(): this | undefined {
    if (this.#isTaken) return undefined
    this.#isTaken = true
    return this
  }

  /** What an earlier attempt has written; undefined where there is nothing. */
  first<Result>(): First<Result> | undefined {
    return this.#written === null ? undefined : JSON.parse(this.#written)
  }

  /** Whether an earlier attempt has written. */
  get hasWritten(): boolean {
    return this.#written !== null
  }

  /** What the write answers; where it was given up for now, that is remembered. */
  async watch<Result>(write: Promise<Result>): Promise<Result> {
    try {
      return await write
    } catch (error) {
      this.hear([error])
      throw error
    }
  }

  /** Remembers whether one of several writes was given up for now. */
  hear(became: readonly unknown[]): void {
    if (became.some((each) => each instanceof Busy)) this.wasBusy = true
  }

  /** Makes sure, in the transaction that writes, that no other has taken it over. Throws `Conflict`. */
  async find(tx: TransactionClient): Promise<undefined> {
    const rows = await tx.$queryRaw<object[]>`
      SELECT 1 FROM "IdempotencyKey" WHERE ${this.#mine()} FOR UPDATE`
    if (rows.length === 0) throw new Conflict('IDEMPOTENT_IN_PROGRESS')
  }

  /** The write that notes what is written. What is in memory alone is left out. */
  keep(first: First<unknown>): [Prisma.Sql] {
    const text = JSON.stringify(first, (name, value: unknown) =>
      name === 'snapshot' || name === 'repaired' ? undefined : value,
    )
    return [Prisma.sql`UPDATE "IdempotencyKey" SET "written" = ${text} WHERE ${this.#mine()}`]
  }

  /** Notes what is written by itself, in the transaction that writes it. */
  async note(tx: TransactionClient, first: First<unknown>): Promise<void> {
    await tx.$executeRaw(this.keep(first)[0])
  }

  /** Claims it for as long again, where it is still worked on. */
  async renew(client: PrismaClient, now: Date): Promise<void> {
    const until = new Date(now.getTime() + CLAIM_MILLISECONDS)
    await client.$executeRaw`
      UPDATE "IdempotencyKey" SET "claimedUntil" = ${until} WHERE ${this.#mine()} AND "claimedUntil" IS NOT NULL`
  }

  /** Keeps the answer, so that it is given again. Throws `Conflict` where another has taken the request over. */
  async answered(client: PrismaClient, answer: string): Promise<void> {
    const response = JSON.stringify(answer)
    const count = await client.$executeRaw`
      UPDATE "IdempotencyKey" SET "response" = ${response}::jsonb, "claimedUntil" = NULL WHERE ${this.#mine()}`
    if (count === 0) throw new Conflict('IDEMPOTENT_IN_PROGRESS')
  }

  /** Lets the request be sent again: it has no answer that is worth keeping. What it has written stays noted. */
  async release(client: PrismaClient): Promise<void> {
    await client.$executeRaw`DELETE FROM "IdempotencyKey" WHERE ${this.#mine()} AND "written" IS NULL`
    await client.$executeRaw`UPDATE "IdempotencyKey" SET "claimedUntil" = NULL WHERE ${this.#mine()}`
  }

  #mine(): Prisma.Sql {
    return Prisma.sql`"distributorId" = ${this.#distributorId} AND "key" = ${this.key} AND "token" = ${this.#token}`
  }
}

/**
 * Claims a request, or answers as it was answered before. Throws `Conflict` where another works on it, or where the key came with
 * another payload.
 */
export async function claimOnce(client: PrismaClient, now: Date, request: RequestKey): Promise<OnceHandle | string> {
  const { distributorId, key, payloadHash } = request
  const token = randomUUID()
  const until = new Date(now.getTime() + CLAIM_MILLISECONDS)
  const [mine] = await client.$queryRaw<{ written: string | null }[]>`
    INSERT INTO "IdempotencyKey" AS "known" ("distributorId", "key", "payloadHash", "createdAt", "token", "claimedUntil")
    VALUES (${distributorId}, ${key}, ${payloadHash}, ${now}, ${token}, ${until})
    ON CONFLICT ("distributorId", "key") DO UPDATE SET "token" = EXCLUDED."token", "claimedUntil" = EXCLUDED."claimedUntil"
      WHERE "known"."response" IS NULL AND "known"."payloadHash" = EXCLUDED."payloadHash"
        AND ("known"."claimedUntil" IS NULL OR "known"."claimedUntil" <= ${now})
    RETURNING "written"`
  if (mine) return new OnceHandle(request, token, mine.written)
  const known = await client.idempotencyKey.findUnique({ where: { distributorId_key: { distributorId, key } } })
  if (known && known.payloadHash !== payloadHash) throw new Conflict('IDEMPOTENCY_KEY_REUSED')
  if (typeof known?.response === 'string') return known.response
  throw new Conflict('IDEMPOTENT_IN_PROGRESS')
}
