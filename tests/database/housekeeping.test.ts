// The embedded database keeps its statistics as a server does: without them, tables that were empty at the start count as tiny.
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { z } from 'zod'
import { embeddedPool, memoryDatabase } from '../../src/database/embedded-pool.ts'
import { houseworkRound, keepHouse } from '../../src/database/housekeeping.ts'
import { openDatabase } from '../../src/database/open-database.ts'

const folder = await mkdtemp(join(tmpdir(), 'housekeeping-'))
afterAll(() => rm(folder, { recursive: true }))

const memory = await memoryDatabase()
const pool = embeddedPool(memory)
afterAll(async () => {
  await pool.end()
  await memory.close()
})

/** A table of so many rows, of which it is not known yet that there are any. */
async function tableOf(rows: number): Promise<void> {
  await pool.query(`DROP TABLE IF EXISTS "Cask"`)
  await pool.query(`CREATE TABLE "Cask" ("id" int PRIMARY KEY, "beer" text)`)
  await pool.query('VACUUM ANALYZE')
  await pool.query(`INSERT INTO "Cask" SELECT n, 'beer ' || n FROM generate_series(1, ${rows}) n`)
}

/** The rows that the table is known to have. */
async function known(): Promise<number | undefined> {
  const { rows } = await pool.query(`SELECT reltuples::int AS "tuples" FROM pg_class WHERE relname = 'Cask'`)
  return z.array(z.object({ tuples: z.number() })).parse(rows)[0]?.tuples
}

test('a table that has grown is looked at anew, once', async () => {
  await tableOf(2000)
  expect(await known()).toBe(0)
  expect(await houseworkRound(pool)).toEqual(['public."Cask"'])
  expect(await known()).toBe(2000)
  expect(await houseworkRound(pool)).toEqual([])
})

test('a few rows are no reason to look, and rows that are gone leave room', async () => {
  await tableOf(40)
  expect(await houseworkRound(pool)).toEqual([])
  for (let round = 0; round < 30; round += 1) await pool.query(`UPDATE "Cask" SET "beer" = 'other'`)
  expect(await houseworkRound(pool)).toEqual(['public."Cask"'])
  const { rows } = await pool.query(`SELECT n_dead_tup::int AS "dead" FROM pg_stat_user_tables WHERE relname = 'Cask'`)
  expect(rows).toEqual([{ dead: 0 }])
})

test('rounds come by themselves until they are stopped', async () => {
  await tableOf(2000)
  const errors: Error[] = []
  const housekeeping = keepHouse(pool, (error) => errors.push(error), 20)
  await expect.poll(known).toBe(2000)
  await housekeeping.stop()
  expect(errors).toEqual([])
  await pool.query(`INSERT INTO "Cask" SELECT n, '' FROM generate_series(2001, 9000) n`)
  await new Promise((resolve) => setTimeout(resolve, 100))
  expect(await known()).toBe(2000)
})

test('the embedded database that the program opens closes while a round is due', async () => {
  const errors: Error[] = []
  const database = await openDatabase({ folder, databasePool: 1 }, (error) => errors.push(error))
  expect(await database.client.distributor.count()).toBe(0)
  await database.close()
  expect(errors).toEqual([])
})
