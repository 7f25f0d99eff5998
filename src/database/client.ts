// The Prisma client over a pool of connections: the same adapter for a server and for the embedded database.
import { PrismaPg } from '@prisma/adapter-pg'
import type pg from 'pg'
import { type Prisma, PrismaClient } from './generated/client.ts'
import { keptName } from './kept-statements.ts'

export type { PrismaClient } from './generated/client.ts'
export { $Enums, Prisma } from './generated/client.ts'

/** What a use-case gets inside a transaction; it must use this and nothing else (the embedded database has one connection). */
export type TransactionClient = Prisma.TransactionClient

/** Milliseconds that a transaction may wait for a connection, and may take. */
const PATIENCE = { maxWait: 30_000, timeout: 60_000 }

/** A client over `pool`, which stays its owner's to close and to listen to: see `openDatabase`. */
export function createClient(pool: pg.Pool): PrismaClient {
  return new PrismaClient({
    adapter: new PrismaPg(pool, { statementNameGenerator: keptName }),
    transactionOptions: PATIENCE,
  })
}
