// Once a run: a migrated database that each worker's database is copied from, on a server or in a folder.
import { randomUUID } from 'node:crypto'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import pg from 'pg'
import type { TestProject } from 'vitest/node'
import { applyMigrations, readMigrations } from '../../src/database/migrations.ts'
import { makeTemplate } from '../../src/database/template.ts'

declare module 'vitest' {
  interface ProvidedContext {
    /** The name of the template; the databases of the workers begin with it. */
    template: string
    /** The folder in which the workers' embedded databases are. */
    databases: string
  }
}

export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const url = project.config.env.TEST_DATABASE_URL
  const template = `fillwright_test_${randomUUID().slice(0, 8)}`
  project.provide('template', template)
  if (!url) {
    await makeTemplate()
    const databases = await mkdtemp(join(tmpdir(), 'fillwright-test-'))
    project.provide('databases', databases)
    return () => rm(databases, { recursive: true, force: true })
  }
  await onServer(url, async (server) => {
    await mayLetTriggersRest(server)
    await server.query(`CREATE DATABASE ${template}`)
  })
  const pool = new pg.Pool({ connectionString: databaseUrl(url, template) })
  try {
    await applyMigrations(pool, await readMigrations())
  } finally {
    await pool.end()
  }
  return () =>
    onServer(url, async (server) => {
      const { rows } = await server.query('SELECT datname FROM pg_database WHERE starts_with(datname, $1)', [template])
      for (const { datname } of rows) await server.query(`DROP DATABASE ${pg.escapeIdentifier(datname)} WITH (FORCE)`)
    })
}

/** Tests empty tables that refuse it by triggers. Throws where the role may not let them rest. */
export async function mayLetTriggersRest(server: pg.Client): Promise<void> {
  try {
    await server.query('SET session_replication_role = DEFAULT')
  } catch (error) {
    throw new Error(
      'The role of TEST_DATABASE_URL must be a superuser, or be granted SET ON PARAMETER session_replication_role: tests let triggers rest while they empty tables.',
      { cause: error },
    )
  }
}

/** The address of another database on the server of `url`. */
export function databaseUrl(url: string, database: string): string {
  const address = new URL(url)
  address.pathname = `/${database}`
  return address.href
}

/** Runs `work` on a connection to the database of `url`. */
export async function onServer(url: string, work: (client: pg.Client) => Promise<void>): Promise<void> {
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  try {
    await work(client)
  } finally {
    await client.end()
  }
}
