import { execFile } from 'node:child_process'
import { promisify } from 'node:util'
import pg from 'pg'
import { afterAll, beforeEach, expect, inject, test } from 'vitest'
import { embeddedPool } from '../../src/database/embedded-pool.ts'
import { applyMigrations, type Migration, readMigrations } from '../../src/database/migrations.ts'
import { openEmbeddedCopy, serverUrl } from '../support/database.ts'
import { databaseUrl, onServer } from '../support/template-database.ts'

const run = promisify(execFile)

// A schema of its own for each test would not do: Prisma's books lie in "public". So: an own database, emptied.
const own = `${inject('template')}_migrations`
const { pool, close } = await open()
beforeEach(async () => {
  await pool.query('DROP SCHEMA public CASCADE; CREATE SCHEMA public')
})
afterAll(close)

async function open(): Promise<{ pool: pg.Pool; close: () => Promise<void> }> {
  if (serverUrl === undefined) {
    const database = await openEmbeddedCopy()
    return { pool: embeddedPool(database), close: () => database.close() }
  }
  await onServer(serverUrl, async (server) => {
    await server.query(`CREATE DATABASE ${own}`)
  })
  const ownPool = new pg.Pool({ connectionString: databaseUrl(serverUrl, own) })
  return { pool: ownPool, close: () => ownPool.end() }
}

const migration = (name: string, sql: string): Migration => ({
  name,
  sql,
  checksum: `${name} ${sql}`.padEnd(64).slice(0, 64),
})
const first = migration('1_first', 'CREATE TABLE a (x INTEGER)')
const second = migration('2_second', 'CREATE TABLE b (x INTEGER); INSERT INTO b VALUES (1)')
const books = async () =>
  (await pool.query('SELECT migration_name, finished_at FROM _prisma_migrations ORDER BY migration_name')).rows

test('the migrations of the folder apply in order, once', async () => {
  const migrations = await readMigrations()
  expect(migrations.length).toBeGreaterThan(0)
  expect(await applyMigrations(pool, migrations)).toEqual(migrations.map(({ name }) => name))
  expect(await applyMigrations(pool, migrations)).toEqual([])
})

test('only what is new is applied to a database that has the rest', async () => {
  await applyMigrations(pool, [first])
  expect(await applyMigrations(pool, [first, second])).toEqual(['2_second'])
})

test('of a migration that fails nothing stays, and those before it do', async () => {
  const broken = migration('2_broken', 'CREATE TABLE b (x INTEGER); SELECT 1 / 0')
  await expect(applyMigrations(pool, [first, broken])).rejects.toThrow('2_broken')
  expect(await books()).toMatchObject([{ migration_name: '1_first' }])
  expect((await pool.query(`SELECT to_regclass('b') AS b`)).rows).toEqual([{ b: null }])
})

test('a migration that was changed after it had been applied is refused', async () => {
  await applyMigrations(pool, [first])
  await expect(applyMigrations(pool, [{ ...first, checksum: 'another' }, second])).rejects.toThrow('was changed')
  expect(await books()).toHaveLength(1)
})

test('a database that a newer program migrated is refused', async () => {
  await applyMigrations(pool, [first, second])
  await expect(applyMigrations(pool, [first])).rejects.toThrow('newer program')
})

test('a migration that Prisma left half done is refused until it is resolved', async () => {
  await applyMigrations(pool, [first])
  await pool.query('UPDATE _prisma_migrations SET finished_at = NULL')
  await expect(applyMigrations(pool, [first])).rejects.toThrow('migrate resolve')
})

test('a migration that comes before one that is applied is refused', async () => {
  await applyMigrations(pool, [second])
  await expect(applyMigrations(pool, [first, second])).rejects.toThrow('older than')
})

if (serverUrl !== undefined) {
  const environment = { ...process.env, DATABASE_URL: databaseUrl(serverUrl, own) }
  const prisma = (...words: string[]) => run('npx', ['prisma', 'migrate', ...words], { env: environment })

  test('the Prisma command line agrees that all is applied, and applies nothing more', async () => {
    await applyMigrations(pool, await readMigrations())
    expect((await prisma('status')).stdout).toContain('Database schema is up to date!')
    expect((await prisma('deploy')).stdout).toContain('No pending migrations to apply.')
  })

  test('what the Prisma command line has applied is not applied again', async () => {
    await prisma('deploy')
    expect(await applyMigrations(pool, await readMigrations())).toEqual([])
    const { rows } = await pool.query(`SELECT count(*)::int AS count FROM pg_proc WHERE proname = 'check_delivery'`)
    expect(rows).toEqual([{ count: 1 }])
  })

  test('the Prisma command line sees what is still to come', async () => {
    await applyMigrations(pool, (await readMigrations()).slice(0, 1))
    await expect(prisma('status')).rejects.toMatchObject({ stdout: expect.stringContaining('not yet been applied') })
  })

  test('of several processes that start at once one applies, and the others wait for it', async () => {
    const migrations = await readMigrations()
    const applied = await Promise.all(Array.from({ length: 5 }, () => applyMigrations(pool, migrations)))
    expect(applied.filter((names) => names.length > 0)).toEqual([migrations.map(({ name }) => name)])
  })
}
