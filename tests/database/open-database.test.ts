// The database as the server opens it: embedded in a folder, or on a server. What a killed process leaves is tested with
// real processes.
import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, inject, test } from 'vitest'
import { readMigrations } from '../../src/database/migrations.ts'
import { openDatabase } from '../../src/database/open-database.ts'
import { serverUrl } from '../support/database.ts'
import { databaseUrl, onServer } from '../support/template-database.ts'

const folder = await mkdtemp(join(tmpdir(), 'embedded-'))
afterAll(() => rm(folder, { recursive: true }))

/** A process that opens the embedded database of `folder`, writes the distributor `id`, says so and stays. */
async function writer(id: string) {
  const script = `
    import { openDatabase } from './src/database/open-database.ts'
    const { client } = await openDatabase({ folder: process.argv[1], databasePool: 1 }, () => {})
    await client.distributor.create({ data: { id: process.argv[2], name: 'x', timeZone: 'UTC' } })
    console.log('written')
    setInterval(() => {}, 1000)`
  const child = spawn(process.execPath, ['--import', 'tsx', '--input-type=module', '-e', script, folder, id])
  await once(child.stdout, 'data')
  return child
}

if (serverUrl === undefined) {
  test('the embedded database keeps what a killed process had committed, and is not shared meanwhile', async () => {
    const child = await writer('first')
    await expect(openDatabase({ folder, databasePool: 1 }, () => {})).rejects.toThrow(String(child.pid))
    child.kill('SIGKILL')
    await once(child, 'exit')
    const database = await openDatabase({ folder, databasePool: 1 }, () => {})
    const rows = await database.client.distributor.findMany({ orderBy: { id: 'asc' } })
    expect(rows.map(({ id }) => id)).toEqual(['first'])
    expect(database.migrated).toEqual([])
    await database.close()
  })
} else {
  const url = serverUrl

  test('a database on a server is migrated at opening, and again there is nothing to migrate', async () => {
    const name = `${inject('template')}_open`
    await onServer(url, async (server) => {
      await server.query(`CREATE DATABASE ${name}`)
    })
    const options = { databaseUrl: databaseUrl(url, name), databasePool: 2, folder: 'unused' }
    const first = await openDatabase(options, () => {})
    expect(first.migrated).toEqual((await readMigrations()).map(({ name: migration }) => migration))
    await first.close()
    const second = await openDatabase(options, () => {})
    expect(second.migrated).toEqual([])
    expect(await second.client.distributor.count()).toBe(0)
    await second.close()
  })

  test('a connection that breaks while it is idle is reported, and the next query takes another one', async () => {
    const errors: Error[] = []
    const name = `${inject('template')}_broken`
    await onServer(url, async (server) => {
      await server.query(`CREATE DATABASE ${name}`)
    })
    const database = await openDatabase(
      { databaseUrl: databaseUrl(url, name), databasePool: 2, folder: 'unused' },
      (error) => errors.push(error),
    )
    await database.client.distributor.count()
    await onServer(url, async (server) => {
      await server.query('SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = $1', [name])
    })
    await expect.poll(() => errors.length).toBeGreaterThan(0)
    expect(await database.client.distributor.count()).toBe(0)
    await database.close()
  })

  test('a server that cannot be reached is an error, not a wait', async () => {
    const options = { databaseUrl: 'postgresql://127.0.0.1:1/none', databasePool: 1, folder: 'unused' }
    await expect(openDatabase(options, () => {})).rejects.toThrow('ECONNREFUSED')
  })
}
