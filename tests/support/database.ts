// The database of a test file: empty at its start, of the newest schema. Embedded, unless TEST_DATABASE_URL names a
// server; the same tests run on both. A worker's files share it, one after the other.
import { randomUUID } from 'node:crypto'
import { join } from 'node:path'
import { PGlite } from '@electric-sql/pglite'
import pg from 'pg'
import { inject, vi } from 'vitest'
import { z } from 'zod'
import { SetClock } from '../../src/clock.ts'
import { createClient, type PrismaClient } from '../../src/database/client.ts'
import { embeddedPool } from '../../src/database/embedded-pool.ts'
import { copyTemplate } from '../../src/database/template.ts'
import { databaseUrl, onServer } from './template-database.ts'

export interface TestDatabase {
  client: PrismaClient
  /** The pool under the client. */
  pool: pg.Pool
  /** Set to Monday, 1 March 2027, 09:00 UTC when a file begins. */
  clock: SetClock
  /** Whether this is a server, which several connections can use at once. */
  onServer: boolean
}

/** The address of the server that the tests run on; undefined where they run on embedded ones. */
export const serverUrl: string | undefined = process.env.TEST_DATABASE_URL || undefined

let shared: Promise<{ pool: pg.Pool; client: PrismaClient }> | undefined

/** The worker's database, emptied. Call it once, at the top of a test file. */
export async function openTestDatabase(): Promise<TestDatabase> {
  shared ??= start()
  const { pool, client } = await shared
  await emptyDatabase(pool)
  return { pool, client, clock: new SetClock('2027-03-01T09:00:00Z'), onServer: serverUrl !== undefined }
}

/** Deletes all rows. Much faster than TRUNCATE, which makes a new file for every table. */
export async function emptyDatabase(pool: pg.Pool): Promise<void> {
  deletions ??= deletionsOf(pool)
  const statements = await deletions
  for (let attempt = 1; ; attempt += 1) {
    try {
      await pool.query(statements)
      return
    } catch (error) {
      // On a server a search that the last file gave up may still be writing that it was: the two stand in each other's way
      // (40P01), or a row comes to a table that is empty already (23503).
      const { code = '' } = z.object({ code: z.string().optional() }).parse(error)
      if (!['40P01', '23503'].includes(code) || attempt === 5) throw error
    }
  }
}

let deletions: Promise<string> | undefined

/** A DELETE for each table, those that refer to others first. */
async function deletionsOf(pool: pg.Pool): Promise<string> {
  const { rows } = await pool.query(`
    SELECT DISTINCT conrelid::regclass::text AS "from", confrelid::regclass::text AS "to"
    FROM pg_constraint WHERE contype = 'f' AND conrelid <> confrelid`)
  const references = z.array(z.object({ from: z.string(), to: z.string() })).parse(rows)
  const left = new Set(references.flatMap(({ from, to }) => [from, to]))
  const ordered: string[] = []
  while (left.size > 0) {
    const next = [...left].filter((table) => !references.some(({ from, to }) => to === table && left.has(from)))
    if (next.length === 0) throw new Error('the tables refer to each other in a circle')
    for (const table of next) left.delete(table)
    ordered.push(...next)
  }
  // The ledger refuses to be emptied: its triggers rest meanwhile.
  const rest = (role: string) => `SET session_replication_role = ${role}`
  return [rest('replica'), ...ordered.map((table) => `DELETE FROM ${table}`), rest('DEFAULT')].join('; ')
}

/** Runs `work` and answers what it answers, with the SQL statements that it sent, in order. */
export async function recordStatements<Result>(
  work: () => Promise<Result>,
): Promise<{ result: Result; statements: string[] }> {
  const spy = vi.spyOn(pg.Client.prototype, 'query')
  try {
    const result = await work()
    return { result, statements: spy.mock.calls.map(([query]: unknown[]) => textOf(query)) }
  } finally {
    spy.mockRestore()
  }
}

async function start(): Promise<{ pool: pg.Pool; client: PrismaClient }> {
  const pool = serverUrl === undefined ? embeddedPool(await openEmbeddedCopy()) : await clone(serverUrl)
  return { pool, client: createClient(pool) }
}

/** An embedded database of its own, migrated and empty; the run's end deletes it. */
export async function openEmbeddedCopy(): Promise<PGlite> {
  const folder = join(inject('databases'), randomUUID())
  if (!(await copyTemplate(folder))) throw new Error('the run began without a template of the embedded database')
  return PGlite.create(folder)
}

async function clone(url: string): Promise<pg.Pool> {
  const template = inject('template')
  const name = `${template}_${process.pid}`
  await onServer(url, async (server) => {
    await server.query(`CREATE DATABASE ${name} TEMPLATE ${template}`)
  })
  const pool = new pg.Pool({ connectionString: databaseUrl(url, name), max: 10 })
  // The run's end drops the database under connections that idle.
  pool.on('error', () => {})
  return pool
}

function textOf(query: unknown): string {
  if (typeof query === 'object' && query !== null && 'text' in query) return String(query.text)
  return String(query)
}
