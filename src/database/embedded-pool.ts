// PGlite behind node-postgres, so that the embedded database and a server are driven by one and the same adapter.
import { PGlite } from '@electric-sql/pglite'
import pg from 'pg'
import { EmbeddedStream } from './embedded-stream.ts'

/**
 * A pool of the one connection that an embedded database has. Its holder blocks everyone else: inside a
 * transaction only the transaction's client may be used. Closing the pool leaves `database` open.
 */
export function embeddedPool(database: PGlite): pg.Pool {
  const stream = () => new EmbeddedStream(database)
  return new pg.Pool({ stream, user: 'postgres', database: 'postgres', max: 1, idleTimeoutMillis: 0 })
}

/** An embedded database in memory, for tools. */
export function memoryDatabase(): Promise<PGlite> {
  return PGlite.create()
}
