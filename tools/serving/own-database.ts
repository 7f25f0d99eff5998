// A database for one purpose: made on a PostgreSQL server, or in a folder of its own, and gone afterwards.
import { randomUUID } from 'node:crypto'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import pg from 'pg'
import { type Database, openDatabase } from '../../src/database/open-database.ts'

export interface OwnDatabase {
  /** The environment variables that let a server use it. */
  environment: Record<string, string>
  /** Opens it, migrated. An embedded one belongs to one process at a time. */
  open(): Promise<Database>
  /** Deletes it. */
  drop(): Promise<void>
}

/** Makes an empty database on the server at `serverUrl`; without one, an embedded database in a folder. */
export async function ownDatabase(serverUrl: string | undefined): Promise<OwnDatabase> {
  const folder = await mkdtemp(join(tmpdir(), 'fillwright-own-'))
  const name = `fillwright_own_${randomUUID().slice(0, 8)}`
  const url = serverUrl === undefined ? undefined : databaseUrl(serverUrl, name)
  if (serverUrl !== undefined) await run(serverUrl, `CREATE DATABASE ${name}`)
  return {
    environment: { FILLWRIGHT_FOLDER: folder, DATABASE_URL: url ?? '' },
    open: () =>
      openDatabase({ folder, databasePool: 16, ...(url === undefined ? {} : { databaseUrl: url }) }, () => {}),
    drop: async () => {
      if (serverUrl !== undefined) await run(serverUrl, `DROP DATABASE ${name} WITH (FORCE)`)
      await rm(folder, { recursive: true, force: true })
    },
  }
}

function databaseUrl(serverUrl: string, name: string): string {
  const url = new URL(serverUrl)
  url.pathname = `/${name}`
  return url.href
}

async function run(url: string, statement: string): Promise<void> {
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  try {
    await client.query(statement)
  } finally {
    await client.end()
  }
}
