// Clocks of servers differ by moments: no constraint may compare two instants that two servers have written. Each that compares
// instants at all is listed here, with the test that shows how its writers keep it.
import { expect, test } from 'vitest'
import { z } from 'zod'
import { openTestDatabase } from '../support/database.ts'

const { pool } = await openTestDatabase()

/** Constraints that put two instants of a row in order. */
const COMPARED = [
  // Both are of one write: tests/api/api-keys.test.ts, an end that is over is refused.
  'ApiKey_expiresAt_check',
  // The end is never before the beginning, whatever the clock of the server that writes it: tests/resolvers/reservations/reservations.test.ts,
  // "a server whose clock is behind that of the one that reserved confirms and releases all the same".
  'Reservation_endedAt_check',
  // An extension never ends sooner than what it extends: the same file, "extending lets it hold from now on for so long".
  'Reservation_expiresAt_check',
]

const rowsShape = z.array(z.object({ name: z.string(), text: z.string() }))

test('only the constraints that are known to hold between servers put instants in order', async () => {
  const { rows } = await pool.query(`
    SELECT conname AS "name", pg_get_constraintdef(c.oid) AS "text" FROM pg_constraint c
    WHERE contype = 'c' AND (
      SELECT count(*) FROM pg_attribute a
      WHERE a.attrelid = c.conrelid AND a.attnum = ANY(c.conkey) AND a.atttypid = 'timestamptz'::regtype) > 1
    ORDER BY 1`)
  const ordered = rowsShape.parse(rows).filter(({ text }) => /"\w+" [<>]=? "\w+"/.test(text))
  expect(ordered.map(({ name }) => name)).toEqual(COMPARED)
})
