// Asks the database's own catalogue whether the keys keep distributors apart.
import { expect, test } from 'vitest'
import { z } from 'zod'
import { openTestDatabase } from '../support/database.ts'

const { pool } = await openTestDatabase()

const columnsOfKeys = `
  SELECT t.relname AS "table", c.conname AS "name",
    (SELECT array_agg(a.attname::text ORDER BY k.at) FROM unnest(c.conkey) WITH ORDINALITY k(number, at)
       JOIN pg_attribute a ON a.attrelid = c.conrelid AND a.attnum = k.number) AS "columns"
  FROM pg_constraint c JOIN pg_class t ON t.oid = c.conrelid
  WHERE c.connamespace = 'public'::regnamespace AND c.contype = $1 AND t.relname NOT IN ('Distributor', '_prisma_migrations')`
const keyRows = z.array(z.object({ table: z.string(), name: z.string(), columns: z.array(z.string()) })).min(30)

test('every primary key begins with the distributor', async () => {
  const keys = keyRows.parse((await pool.query(columnsOfKeys, ['p'])).rows)
  expect(keys.filter(({ columns }) => columns[0] !== 'distributorId')).toEqual([])
})

test('every foreign key carries the distributor', async () => {
  const keys = keyRows.parse((await pool.query(columnsOfKeys, ['f'])).rows)
  expect(keys.filter(({ columns }) => columns[0] !== 'distributorId')).toEqual([])
})

test('every external reference is unique within its distributor and kind, but where a delivery says that of its thing', async () => {
  const { rows } = await pool.query(`
    SELECT table_name FROM information_schema.columns WHERE table_schema = 'public' AND column_name = 'externalRef'
      AND table_name <> 'WebhookDelivery'
    EXCEPT
    SELECT tablename FROM pg_indexes
    WHERE schemaname = 'public' AND indexdef LIKE 'CREATE UNIQUE INDEX%("distributorId", "externalRef")'`)
  expect(rows).toEqual([])
})
