// Applies prisma/migrations at start and records them as Prisma's own command line does, so that `prisma migrate status`
// and `prisma migrate deploy` agree with what was done here.
import { createHash, randomUUID } from 'node:crypto'
import { readdir, readFile } from 'node:fs/promises'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import type pg from 'pg'
import { z } from 'zod'

export const MIGRATIONS_FOLDER = fileURLToPath(new URL('../../prisma/migrations', import.meta.url))

/** The advisory lock that Prisma's command line takes too: the second process waits. */
const MIGRATION_LOCK = 72_707_369

const BOOKS = `CREATE TABLE IF NOT EXISTS "_prisma_migrations" (
  "id" VARCHAR(36) PRIMARY KEY NOT NULL,
  "checksum" VARCHAR(64) NOT NULL,
  "finished_at" TIMESTAMPTZ,
  "migration_name" VARCHAR(255) NOT NULL,
  "logs" TEXT,
  "rolled_back_at" TIMESTAMPTZ,
  "started_at" TIMESTAMPTZ NOT NULL DEFAULT now(),
  "applied_steps_count" INTEGER NOT NULL DEFAULT 0
)`

const appliedRow = z.object({ migration_name: z.string(), checksum: z.string(), finished_at: z.date().nullable() })

export interface Migration {
  name: string
  sql: string
  /** SHA-256 of the script, in hex. */
  checksum: string
}

/** The migrations of a folder in the order in which they apply. */
export async function readMigrations(folder: string = MIGRATIONS_FOLDER): Promise<Migration[]> {
  const entries = await readdir(folder, { withFileTypes: true })
  const names = entries.filter((entry) => entry.isDirectory()).map(({ name }) => name)
  return Promise.all(
    names.sort().map(async (name) => {
      const sql = await readFile(join(folder, name, 'migration.sql'), 'utf8')
      return { name, sql, checksum: createHash('sha256').update(sql).digest('hex') }
    }),
  )
}

/**
 * Brings a database up to `migrations`, each in a transaction of its own, and answers the names of those applied now.
 * Throws where the database was migrated by other scripts than these, or where an earlier migration failed.
 */
export async function applyMigrations(pool: pg.Pool, migrations: readonly Migration[]): Promise<string[]> {
  const client = await pool.connect()
  try {
    await client.query('SELECT pg_advisory_lock($1)', [MIGRATION_LOCK])
    try {
      await client.query(BOOKS)
      const pending = await pendingMigrations(client, migrations)
      for (const migration of pending) await applyOne(client, migration)
      return pending.map(({ name }) => name)
    } finally {
      await client.query('SELECT pg_advisory_unlock($1)', [MIGRATION_LOCK])
    }
  } finally {
    client.release()
  }
}

async function pendingMigrations(client: pg.PoolClient, migrations: readonly Migration[]): Promise<Migration[]> {
  const { rows } = await client.query(
    `SELECT "migration_name", "checksum", "finished_at" FROM "_prisma_migrations"
     WHERE "rolled_back_at" IS NULL ORDER BY "started_at"`,
  )
  const applied = new Map(
    z
      .array(appliedRow)
      .parse(rows)
      .map((row) => [row.migration_name, row]),
  )
  const known = new Set(migrations.map(({ name }) => name))
  for (const [name, { finished_at }] of applied) {
    if (!known.has(name))
      throw new Error(
        `The database was migrated by a newer program: this one does not know "${name}". Start the newer one.`,
      )
    if (finished_at === null)
      throw new Error(
        `The migration "${name}" failed earlier. Repair the database, then run: npx prisma migrate resolve`,
      )
  }
  const pending = migrations.filter(({ name, checksum }) => {
    const row = applied.get(name)
    if (row && row.checksum !== checksum)
      throw new Error(`The migration "${name}" was changed after it had been applied. Put its script back.`)
    return !row
  })
  const last = migrations.findLast(({ name }) => applied.has(name))
  const early = pending.find(({ name }) => last !== undefined && name < last.name)
  if (early) throw new Error(`The migration "${early.name}" is older than "${last?.name}", which is applied already.`)
  return pending
}

async function applyOne(client: pg.PoolClient, { name, sql, checksum }: Migration): Promise<void> {
  const startedAt = new Date()
  try {
    await client.query('BEGIN')
    await client.query(sql)
    await client.query(
      `INSERT INTO "_prisma_migrations" ("id", "checksum", "migration_name", "started_at", "finished_at", "applied_steps_count")
       VALUES ($1, $2, $3, $4, clock_timestamp(), 1)`,
      [randomUUID(), checksum, name, startedAt],
    )
    await client.query('COMMIT')
  } catch (error) {
    await client.query('ROLLBACK')
    throw new Error(`The migration "${name}" failed; nothing of it stays.`, { cause: error })
  }
}
