// The database connection of the schema engine: Prisma's PostgreSQL adapter with three of its faults repaired, for the
// engine reads system catalogues and runs whole migration scripts.
import { PrismaPg } from '@prisma/adapter-pg'
import {
  ColumnTypeEnum,
  type SqlDriverAdapter,
  type SqlMigrationAwareDriverAdapterFactory,
  type SqlQuery,
} from '@prisma/driver-adapter-utils'
import pg from 'pg'
import { embeddedPool, memoryDatabase } from '../../src/database/embedded-pool.ts'

/** Object ids of the types `"char"`, which the adapter cannot read, and `text`, as which it can. */
const CHAR = 18
const TEXT = 25

/**
 * Connections for the schema engine. `url` is the database that a command works on; without one the engine gets an
 * empty database in memory. The shadow database, in which migrations are replayed, is always in memory.
 */
export function schemaEngineAdapter(url: string | undefined): SqlMigrationAwareDriverAdapterFactory {
  const connectToMemory = async () => {
    const database = await memoryDatabase()
    return adapterOver(embeddedPool(database), () => database.close())
  }
  return {
    provider: 'postgres',
    adapterName: '@prisma/adapter-pg',
    connect: () => (url ? adapterOver(new pg.Pool({ connectionString: url, max: 1 })) : connectToMemory()),
    connectToShadowDb: connectToMemory,
  }
}

async function adapterOver(pool: pg.Pool, close?: () => Promise<void>): Promise<SqlDriverAdapter> {
  // Which columns of the last result were "char". The pool has one connection, so the last result is this one's.
  let isChar: boolean[] = []
  pool.on('connect', (client: pg.PoolClient) => {
    client.connection.prependListener('rowDescription', ({ fields }: { fields: { dataTypeID: number }[] }) => {
      isChar = fields.map(({ dataTypeID }) => dataTypeID === CHAR)
      for (const field of fields) if (field.dataTypeID === CHAR) field.dataTypeID = TEXT
    })
  })
  const adapter = await new PrismaPg(pool, { disposeExternalPool: true }).connect()
  const queryRaw = async (query: SqlQuery) => {
    const result = await adapter.queryRaw(query)
    const columnTypes = result.columnTypes.map((type, column) => (isChar[column] ? ColumnTypeEnum.Character : type))
    return { ...result, columnTypes }
  }
  const executeScript = async (script: string) => {
    // One simple query runs the whole script; the adapter's own cuts it at every semicolon, also inside a function.
    await pool.query(script)
  }
  return {
    provider: adapter.provider,
    adapterName: adapter.adapterName,
    queryRaw,
    executeRaw: (query) => adapter.executeRaw(query),
    executeScript,
    startTransaction: (isolationLevel) => adapter.startTransaction(isolationLevel),
    getConnectionInfo: () => adapter.getConnectionInfo(),
    dispose: async () => {
      await adapter.dispose()
      await close?.()
    },
  }
}
