// PGlite (PostgreSQL compiled to WebAssembly, in this process) behind node-postgres, so that the embedded database and
// a server are driven by one and the same adapter.
import { PGlite } from '@electric-sql/pglite'
import { createPgConfig } from '@electric-sql/pglite/node-postgres'
import pg from 'pg'

/**
 * A pool of the one connection that an embedded database has. Its holder blocks everyone else: inside a
 * transaction only the transaction's client may be used. Closing the pool leaves `database` open.
 */
export function embeddedPool(database: PGlite): pg.Pool {
  const config = createPgConfig(database)
  const { connection } = config
  const parse = connection.parse.bind(connection)
  // node-postgres hands its result parsers on where PGlite wants a list of parameter types.
  connection.parse = (query) => parse({ ...query, types: Array.isArray(query.types) ? query.types : [] })
  const options = { ...config, connection, max: 1, idleTimeoutMillis: 0 }
  return new pg.Pool(options)
}

/** An embedded database in memory, for tools. */
export function memoryDatabase(): Promise<PGlite> {
  return PGlite.create()
}
