// Connections to a PostgreSQL server, each with limits: nothing that the server does or fails to do holds a request for ever.
import { Socket } from 'node:net'
import pg from 'pg'
import type { OpenPool } from './embedded-database.ts'

/** How long things may take on a server, in seconds. */
export interface ServerLimits {
  /** For a lock that another transaction holds. */
  lockSeconds: number
  /** For one statement, as the server counts. */
  statementSeconds: number
  /** For a sign of the server while a statement is unanswered, as this process counts; then the connection is closed. */
  answerSeconds: number
  /** For the next statement of an open transaction; then the server closes the connection. */
  idleSeconds: number
}

export const SERVER_LIMITS: ServerLimits = { lockSeconds: 10, statementSeconds: 30, answerSeconds: 35, idleSeconds: 30 }

/** Milliseconds for a connection to be made, or for one of the pool to be free. */
const TO_CONNECT = 10_000

/** Milliseconds after which a connection that carries nothing is tried, so that one whose other end is gone is noticed. */
const KEPT_ALIVE_AFTER = 10_000

/** The server gave no sign while a statement was unanswered. */
export class SilentConnection extends Error {
  constructor(seconds: number) {
    super(`the database gave no sign for ${seconds} seconds`)
  }
}

/** A pool of at most `max` connections with limits. */
export function openServer(connectionString: string, max: number, limits: ServerLimits): OpenPool {
  const pool = new pg.Pool({
    connectionString,
    max,
    connectionTimeoutMillis: TO_CONNECT,
    keepAlive: true,
    keepAliveInitialDelayMillis: KEPT_ALIVE_AFTER,
    lock_timeout: limits.lockSeconds * 1000,
    statement_timeout: limits.statementSeconds * 1000,
    idle_in_transaction_session_timeout: limits.idleSeconds * 1000,
  })
  pool.on('connect', (client) => {
    if (client instanceof pg.Client) closeWhenSilent(client.connection, limits.answerSeconds)
  })
  return { pool, close: () => pool.end() }
}

/** A pool of one connection without limits, for migrations: they may rewrite large tables. */
export function openForMigrations(connectionString: string): OpenPool {
  const pool = new pg.Pool({ connectionString, max: 1, connectionTimeoutMillis: TO_CONNECT })
  return { pool, close: () => pool.end() }
}

/**
 * Closes a connection on which a statement stays unanswered in silence. The driver's own `query_timeout` gives up the statement
 * and goes on to use the connection: what comes next would run inside the transaction that was given up.
 */
function closeWhenSilent(connection: pg.Connection, seconds: number): void {
  const { stream } = connection
  if (!(stream instanceof Socket)) return
  let answered = stream.bytesWritten
  // Before the driver hears of it, which may send the next statement at once.
  connection.prependListener('readyForQuery', () => {
    answered = stream.bytesWritten
  })
  stream.setTimeout(seconds * 1000)
  // Not as the listener that `setTimeout` takes: that one hears of the first silence alone, which may be between statements.
  stream.on('timeout', () => {
    if (stream.bytesWritten > answered) stream.destroy(new SilentConnection(seconds))
  })
}
