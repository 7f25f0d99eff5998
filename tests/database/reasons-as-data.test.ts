// The migration that makes data of stored reasons: codes of sentences that the planner has said, words of all others, and
// nothing of a reason lost. On rows in the old shape, in memory or on the server that TEST_DATABASE_URL names.
import pg from 'pg'
import { afterAll, expect, inject, test } from 'vitest'
import { embeddedPool } from '../../src/database/embedded-pool.ts'
import { applyMigrations, readMigrations } from '../../src/database/migrations.ts'
import { planShape, REASON_CODES } from '../../src/planner/documents/index.ts'
import { openEmbeddedCopy, serverUrl } from '../support/database.ts'
import { databaseUrl, onServer } from '../support/template-database.ts'

const NAME = '20261128070000_reasons_as_data'
const reasonsShape = planShape.shape.unserved.element.shape.reasons

const own = `${inject('template')}_reasons`
const { pool, close } = await open()
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

/** Old reasons, one for a sentence, with what they are to become beside what they keep. */
const HELP = 'What alone would serve it on time: '
const OLD: { old: Record<string, unknown> & { rule: string; message: string }; now: Record<string, unknown> }[] = [
  {
    old: { rule: 'L1', message: 'The filler has no minutes left on the days on which this must be filled.' },
    now: { code: 'NO_FILLER_MINUTES' },
  },
  {
    old: {
      ...{ rule: 'L1', from: '2027-03-01', to: '2027-03-03', resource: { kind: 'FILLER', id: 'arm-1' } },
      message: `The filler has no minutes left on the days on which this must be filled. ${HELP}14 more filler minutes on Monday 2027-03-01 (filler arm-1); no smaller change would do.`,
      relief: { what: 'FILLER_MINUTES', amount: 14, unit: 'MINUTE', by: '2027-03-01' },
    },
    now: { code: 'NO_FILLER_MINUTES' },
  },
  {
    old: {
      ...{ rule: 'A3', resource: { kind: 'ORDER_LINE', id: 'l-1' } },
      message: `${HELP}to order 3 containers fewer, 5 in all; no smaller change would do.`,
      relief: { what: 'FEWER_CONTAINERS', amount: 3, unit: 'CONTAINER' },
    },
    now: { code: 'RELIEF_FOUND', params: { remaining: 5 } },
  },
  {
    old: {
      ...{ rule: 'V3', resource: { kind: 'BEER', id: 'b-1' } },
      message: 'No vessel is free in time for a brew of this beer; the beer at hand is spoken for.',
    },
    now: { code: 'NO_VESSEL_FREE', params: { beerId: 'b-1' } },
  },
  {
    old: {
      ...{ rule: 'V3', resource: { kind: 'VESSEL', id: 'v-1' } },
      message: `No vessel is free in time for a brew of this beer; the beer at hand is spoken for. ${HELP}one more vessel like v-1, free by Monday 2027-03-01; no smaller change would do.`,
      relief: { what: 'VESSEL_FREE', amount: 1, unit: 'VESSEL', by: '2027-03-01' },
    },
    now: { code: 'NO_VESSEL_FREE' },
  },
  {
    old: {
      rule: 'V2',
      resource: { kind: 'VESSEL', id: 'v-1' },
      message: 'Vessel v-1 takes 300 to 900 L, and brew-4 is 1200 L.',
    },
    now: { code: 'VOLUME_OUT_OF_RANGE', params: { least: 300, most: 900, brewId: 'brew-4', litres: 1200 } },
  },
  {
    old: { rule: 'V9', resource: { kind: 'BATCH', id: 'b-7' }, message: 'b-7 has too little beer for 4 of pack p-1.' },
    now: { code: 'BATCH_TOO_SMALL', params: { quantity: 4, packId: 'p-1' } },
  },
  {
    old: {
      ...{ rule: 'L1', from: '2027-03-01', to: '2027-03-01', resource: { kind: 'FILLER', id: 'arm-1' } },
      message: 'Filler arm-1 has 12 minutes to spare on Monday 2027-03-01, and this takes 40 and a set-up.',
    },
    now: { code: 'FILLER_BUSY', params: { spare: 12, work: 40 } },
  },
  {
    old: { rule: 'COST', message: 'It could have stayed, but the plan costs less without it.' },
    now: { code: 'CHEAPER_WITHOUT' },
  },
  {
    old: { rule: 'E1', message: 'Several limits bind together.', from: '2027-03-01' },
    now: { code: 'AS_RECORDED', params: { words: 'Several limits bind together.' } },
  },
]

async function onlyThoseBefore(): Promise<void> {
  await pool.query('DROP SCHEMA public CASCADE; CREATE SCHEMA public')
  const migrations = await readMigrations()
  await applyMigrations(
    pool,
    migrations.filter(({ name }) => name < NAME),
  )
  // Reasons stand in rows that refer to plans and lines; here only the reasons are looked at.
  await pool.query(`
    ALTER TABLE "PlanVerdict" DROP CONSTRAINT "PlanVerdict_distributorId_planId_fkey";
    ALTER TABLE "PlanVerdict" DROP CONSTRAINT "PlanVerdict_distributorId_orderLineId_fkey";
    ALTER TABLE "PlanMove" DROP CONSTRAINT "PlanMove_distributorId_planId_fkey";
    ALTER TABLE "ChangeLogEntry" DROP CONSTRAINT "ChangeLogEntry_distributorId_fkey"`)
}

test('stored reasons become codes and params in verdicts, moves and the change log, and keep all else', async () => {
  await onlyThoseBefore()
  const old = JSON.stringify(OLD.map((each) => each.old))
  await pool.query(
    `INSERT INTO "PlanVerdict" ("distributorId", "planId", "kind", "orderLineId", "reasons") VALUES ('d', 'p', 'LATE', 'l', $1)`,
    [old],
  )
  await pool.query(
    `INSERT INTO "PlanMove" ("distributorId", "planId", "kind", "decisionId", "reasons") VALUES ('d', 'p', 'BREW', 'b', $1)`,
    [old],
  )
  const news = { promisedOn: '2027-03-01', reasons: OLD.map((each) => each.old) }
  await pool.query(
    `INSERT INTO "ChangeLogEntry" ("distributorId", "revision", "n", "kind", "entityType", "entityId", "before", "after", "at")
     VALUES ('d', 1, 1, 'PROMISE_AT_RISK', 'OrderLine', 'l', $1, $1, now()), ('d', 1, 2, 'ORDER_PLACED', 'Order', 'o', NULL, $2, now())`,
    [JSON.stringify(news), JSON.stringify({ reasons: 'of the customer' })],
  )
  await applyMigrations(pool, await readMigrations())
  const wanted = OLD.map(({ old: { message: _, ...kept }, now }) => ({ ...kept, ...now }))
  const reasonsIn = async (table: string) => (await pool.query(`SELECT "reasons" FROM "${table}"`)).rows[0].reasons
  expect(await reasonsIn('PlanVerdict')).toEqual(wanted)
  expect(await reasonsIn('PlanMove')).toEqual(wanted)
  expect(reasonsShape.parse(await reasonsIn('PlanVerdict'))).toEqual(wanted)
  const { rows } = await pool.query(`SELECT "before", "after" FROM "ChangeLogEntry" ORDER BY "n"`)
  expect(rows[0]).toEqual({ before: { ...news, reasons: wanted }, after: { ...news, reasons: wanted } })
  expect(rows[1].after).toEqual({ reasons: 'of the customer' })
})

test('every code that the script writes is one of the catalogue, and nothing of the script stays', async () => {
  const sql = (await readMigrations()).find(({ name }) => name === NAME)?.sql ?? ''
  const codes = [...sql.matchAll(/^ {2}\('.*', '([A-Z_]+)', '\{/gm)].map(([, code]) => code)
  expect(codes.length).toBeGreaterThan(50)
  expect(codes.filter((code) => !REASON_CODES.some((known) => known === code))).toEqual([])
  const left = await pool.query(`SELECT proname FROM pg_proc WHERE proname LIKE '\\_%data' OR proname = '_cause'`)
  expect(left.rows).toEqual([])
  expect((await pool.query(`SELECT to_regclass('"_said"') AS said`)).rows).toEqual([{ said: null }])
})
