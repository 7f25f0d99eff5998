// Transactions that are tried again when the database gives up one of two that stand in each other's way.
import { setTimeout as wait } from 'node:timers/promises'
import { isDriverAdapterError } from '@prisma/driver-adapter-utils'
import { Busy } from '../errors.ts'
import { Prisma, type PrismaClient, type TransactionClient } from './client.ts'
import { stateOf } from './sqlstate.ts'
import { unavailable } from './unavailable.ts'

export type Isolation = Prisma.TransactionIsolationLevel

const ATTEMPTS = 6
/** Milliseconds before the second attempt; each further wait is twice as long, and up to as much again by chance. */
const FIRST_WAIT = 10

/** SQLSTATE of a serialisation failure and of a deadlock. */
const CONFLICT_STATES = new Set(['40001', '40P01'])

/**
 * Runs `work` in one transaction and answers what it answers. On a conflict with another transaction the whole of it
 * is done again, so `work` must have no effect outside the database. Without a level it is the server's usual one, which
 * need not be said: that saves a statement. Throws `Busy` after six attempts, and where the database is slow or away.
 */
export async function inTransaction<Result>(
  client: PrismaClient,
  work: (tx: TransactionClient) => Promise<Result>,
  isolationLevel?: Isolation,
): Promise<Result> {
  for (let attempt = 1; ; attempt += 1) {
    try {
      return await client.$transaction(work, isolationLevel && { isolationLevel })
    } catch (error) {
      if (!isTransactionConflict(error)) throw unavailable(error) ?? error
      if (attempt === ATTEMPTS) throw new Busy(1)
      const shortest = FIRST_WAIT * 2 ** (attempt - 1)
      await wait(shortest * (1 + Math.random()))
    }
  }
}

/** Whether an error says that the transaction lost against another one and may be tried again. */
export function isTransactionConflict(error: unknown): boolean {
  if (error instanceof Prisma.PrismaClientKnownRequestError) {
    if (error.code === 'P2034') return true
    return error.code === 'P2010' && CONFLICT_STATES.has(stateOf(error))
  }
  // A conflict that shows only at commit comes from the driver as it is.
  return isDriverAdapterError(error) && error.cause.kind === 'TransactionWriteConflict'
}
