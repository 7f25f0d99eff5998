// What a database that is slow, busy, or away makes of a statement: a refusal that says when to come again.
import { isDriverAdapterError } from '@prisma/driver-adapter-utils'
import { Busy } from '../errors.ts'
import { Prisma } from './client.ts'
import { SilentConnection } from './server-pool.ts'
import { stateOf } from './sqlstate.ts'

/** Seconds after which it is worth asking again: a lock is soon free, a load passes, and a database comes back. */
const AFTER_LOCK = 1
const AFTER_SLOW = 5
const AFTER_AWAY = 5

/** SQLSTATE of a lock that was not to be had in time (`lock_timeout`), and of a statement that took too long (`statement_timeout`). */
const LOCK_NOT_AVAILABLE = '55P03'
const QUERY_CANCELED = '57014'

/**
 * SQLSTATE of connections that the server closes or refuses (PostgreSQL's manual, appendix A): class 08; the server shuts down,
 * has crashed or starts (57P01 to 57P03); it was idle in a transaction for too long (25P03); there are too many (53300).
 */
const AWAY_STATES = /^(08...|57P0[123]|25P03|53300)$/

/** Prisma's codes for a server that is not reached, does not answer, or has closed the connection. */
const AWAY_CODES = new Set(['P1001', 'P1002', 'P1008', 'P1017', 'P2024', 'P2037'])

/** Prisma's kinds of the same. */
const AWAY_KINDS = new Set(['DatabaseNotReachable', 'ConnectionClosed', 'SocketTimeout', 'TooManyConnections'])

/** Codes of the system's for a connection that is not made or breaks. */
const AWAY_ERRNOS = new Set([
  'ECONNREFUSED',
  'ECONNRESET',
  'EPIPE',
  'ETIMEDOUT',
  'EHOSTUNREACH',
  'ENETUNREACH',
  'ENOTFOUND',
  'EAI_AGAIN',
])

/** What the driver says, without a code, where a connection is not made in time or ends. */
const AWAY_WORDS =
  /^(Connection terminated|timeout exceeded when trying to connect|Client has encountered a connection)/

/** The refusal that an error stands for; undefined where it says nothing of the kind. */
export function unavailable(error: unknown): Busy | undefined {
  const state = stateOf(error)
  if (state === LOCK_NOT_AVAILABLE) return new Busy(AFTER_LOCK)
  if (state === QUERY_CANCELED || isExpired(error)) return new Busy(AFTER_SLOW, 'DATABASE_SLOW')
  return AWAY_STATES.test(state) || meansAway(error) ? new Busy(AFTER_AWAY, 'DATABASE_AWAY') : undefined
}

/** Whether a refusal says that the database is away. */
export function isAway(error: unknown): boolean {
  return error instanceof Busy && error.code === 'DATABASE_AWAY'
}

/** Whether a transaction was not begun, or not ended, in the time that it has. It is rolled back. */
function isExpired(error: unknown): boolean {
  return (
    error instanceof Prisma.PrismaClientKnownRequestError &&
    error.code === 'P2028' &&
    /unable to start|expired|timeout/i.test(error.message)
  )
}

function meansAway(error: unknown): boolean {
  if (error instanceof SilentConnection) return true
  if (error instanceof Prisma.PrismaClientInitializationError) return true
  if (error instanceof Prisma.PrismaClientKnownRequestError)
    return (
      AWAY_CODES.has(error.code) ||
      [...AWAY_KINDS].some((kind) => JSON.stringify(error.meta ?? {}).includes(`"${kind}"`))
    )
  if (isDriverAdapterError(error)) return AWAY_KINDS.has(error.cause.kind)
  if (!(error instanceof Error)) return false
  return AWAY_WORDS.test(error.message) || ('code' in error && AWAY_ERRNOS.has(String(error.code)))
}
