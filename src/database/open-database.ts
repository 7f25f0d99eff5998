// Opens the database that the settings name, brings it up to the migrations, and hands out the client.
import type pg from 'pg'
import { createClient, type PrismaClient } from './client.ts'
import { openEmbedded } from './embedded-database.ts'
import { keepHouse } from './housekeeping.ts'
import { applyMigrations, readMigrations } from './migrations.ts'
import { openForMigrations, openServer, SERVER_LIMITS, type ServerLimits } from './server-pool.ts'

export interface DatabaseOptions {
  /** A PostgreSQL server. Absent: the embedded database in `folder`. */
  databaseUrl?: string
  databasePool: number
  /** How long things may take on the server. Absent: `SERVER_LIMITS`. */
  databaseLimits?: ServerLimits
  folder: string
}

export interface Database {
  client: PrismaClient
  /** The pool under the client, for what SQL says better. */
  pool: pg.Pool
  /** Names of the migrations that were applied at opening. */
  migrated: string[]
  close(): Promise<void>
}

/** Opens and migrates the database. `onError` gets errors of idle connections that break, and of housekeeping. */
export async function openDatabase(options: DatabaseOptions, onError: (error: Error) => void): Promise<Database> {
  const { pool, close } = options.databaseUrl
    ? openServer(options.databaseUrl, options.databasePool, options.databaseLimits ?? SERVER_LIMITS)
    : await openEmbedded(options.folder)
  // Without a listener a broken idle connection would end the process.
  pool.on('error', onError)
  try {
    const migrated = options.databaseUrl ? await migrateServer(options.databaseUrl) : await migrate(pool)
    // A server cleans up and gathers statistics by itself; the embedded database does neither.
    if (!options.databaseUrl) await pool.query('VACUUM ANALYZE')
    const housekeeping = options.databaseUrl ? undefined : keepHouse(pool, onError)
    const client = createClient(pool)
    return {
      client,
      pool,
      migrated,
      close: async () => {
        await housekeeping?.stop()
        await client.$disconnect()
        await close()
      },
    }
  } catch (error) {
    await close()
    throw error
  }
}

async function migrate(pool: pg.Pool): Promise<string[]> {
  return applyMigrations(pool, await readMigrations())
}

async function migrateServer(databaseUrl: string): Promise<string[]> {
  const { pool, close } = openForMigrations(databaseUrl)
  return migrate(pool).finally(close)
}
