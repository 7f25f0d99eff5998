// What must never be: each constraint of the database refuses what it is there for, and no constraint is without a test.
import { expect, test } from 'vitest'
import { z } from 'zod'
import { demoScenario } from '../../seeds/demo.ts'
import { saveSetup } from '../../src/records/save-setup.ts'
import { openTestDatabase } from '../support/database.ts'
import { somePlan } from '../support/some-plan.ts'
import { ELSEWHERE } from './refused-elsewhere.ts'
import { REFUSED } from './refused-statements.ts'

const { client, pool, clock } = await openTestDatabase()

const scenario = demoScenario('2027-03-01')
const baseline = somePlan(scenario.problem, 1)
await client.$transaction(async (tx) => {
  await saveSetup(tx, 'd', { ...scenario, problem: { ...scenario.problem, baseline } }, clock.now())
  const at = clock.now()
  const hash = 'a'.repeat(64)
  await tx.apiKey.create({ data: { distributorId: 'd', name: 'K', hash, scopes: ['orders:read'], createdAt: at } })
  await tx.changeLogEntry.create({
    data: { distributorId: 'd', revision: 1, n: 1, kind: 'K', entityType: 'T', entityId: '1', after: {}, at },
  })
  const { id: orderId } = await tx.order.findFirstOrThrow({ where: { distributorId: 'd' } })
  const expiresAt = new Date(at.getTime() + 60_000)
  await tx.reservation.create({ data: { distributorId: 'd', id: 'r', orderId, madeAt: at, expiresAt } })
  const today = new Date('2027-03-01')
  const comparison = { status: 'SOLVING' as const, fromRevision: 1, today, scenarios: [{}], createdAt: at }
  await tx.comparison.create({ data: { distributorId: 'd', id: 'c', ...comparison } })
  const search = { question: hash, asked: [], status: 'SEARCHING' as const, atRevision: 1, createdAt: at }
  await tx.newPlanSearch.create({ data: { distributorId: 'd', id: 's', ...search } })
  const job = { kind: 'K', key: 'k', payload: {}, mostAttempts: 2, runAfter: at, createdAt: at }
  await tx.job.create({ data: { distributorId: 'd', id: 'j', ...job } })
  await tx.idempotencyKey.create({ data: { distributorId: 'd', key: 'k', payloadHash: hash, createdAt: at } })
})

/** Runs a statement in a transaction and answers the constraint that refuses it, at once or at the commit. */
async function refusalOf(statement: string): Promise<string | undefined> {
  const connection = await pool.connect()
  try {
    await connection.query('BEGIN')
    const { rowCount } = await connection.query(statement)
    expect(rowCount, 'the statement must touch a row').toBeGreaterThan(0)
    await connection.query('SET CONSTRAINTS ALL IMMEDIATE')
    return undefined
  } catch (error) {
    const refused = z.object({ constraint: z.string() }).safeParse(error)
    if (!refused.success) throw error
    return refused.data.constraint
  } finally {
    await connection.query('ROLLBACK')
    connection.release()
  }
}

test.each(
  Object.entries(REFUSED).flatMap(([constraint, statements]) =>
    statements.map((statement) => ({ constraint, statement })),
  ),
)('$constraint refuses $statement', async ({ constraint, statement }) => {
  expect(await refusalOf(statement)).toBe(constraint)
})

test.each(Object.entries(ELSEWHERE))('%s keeps what belongs together at one site', async (constraint, statement) => {
  expect(await refusalOf(statement)).toBe(constraint)
})

test('a row cannot name a thing of another distributor', async () => {
  await client.distributor.create({ data: { id: 'other', name: 'Other', timeZone: 'UTC' } })
  const statement = `INSERT INTO "SiteClosure" SELECT 'other', "id", '2027-03-01' FROM "Site" LIMIT 1`
  expect(await refusalOf(statement)).toBe('SiteClosure_distributorId_siteId_fkey')
})

test('every check, partial index and constraint trigger of the database has a test here', async () => {
  const { rows } = await pool.query(`
    SELECT conname AS name FROM pg_constraint
      WHERE contype = 'c' AND connamespace = 'public'::regnamespace AND conrelid <> 0
    UNION SELECT indexrelid::regclass::text FROM pg_index WHERE indpred IS NOT NULL`)
  const names = rows.map(({ name }) => String(name).replaceAll('"', ''))
  expect(names.length).toBeGreaterThan(80)
  expect(names.filter((name) => !(name in REFUSED))).toEqual([])
  const triggers = await pool.query(`SELECT conname FROM pg_constraint WHERE contype = 't' ORDER BY 1`)
  expect(triggers.rows.map(({ conname }) => conname)).toEqual(['DeliverySource_leaves_source', 'Delivery_has_source'])
})

test.each([
  'UPDATE "LedgerEntry" SET "amount" = 1',
  'DELETE FROM "LedgerEntry"',
  `UPDATE "Fact" SET "kind" = 'READY'`,
  'DELETE FROM "Fact"',
])('%s is refused: what was recorded is corrected by recording more', async (statement) => {
  await expect(refusalOf(statement)).rejects.toThrow(/never changed/)
})
