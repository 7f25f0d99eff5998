// The embedded database answers the driver as a server does: what is refused, and answers longer than any buffer.
import { expect, test } from 'vitest'
import { openTestDatabase } from '../support/database.ts'

const { pool } = await openTestDatabase()

test('a statement with values that is refused says why, and the connection goes on', async () => {
  for (let round = 0; round < 3; round += 1) {
    // 42703 (undefined_column): the statement is refused while it is prepared, before its values are bound.
    await expect(pool.query('SELECT nothing WHERE $1 > 1', [2])).rejects.toMatchObject({ code: '42703' })
    // 22P02 (invalid_text_representation): refused while its values are bound.
    await expect(pool.query('SELECT $1::int AS n', ['two'])).rejects.toMatchObject({ code: '22P02' })
    // 22012 (division_by_zero): refused while it runs.
    await expect(pool.query('SELECT 1 / $1::int AS n', [0])).rejects.toMatchObject({ code: '22012' })
    expect((await pool.query('SELECT $1::int AS n', [2])).rows).toEqual([{ n: 2 }])
  }
})

test('a transaction in which one was refused can be rolled back, and nothing of it is kept', async () => {
  const client = await pool.connect()
  try {
    await client.query('BEGIN')
    await client.query('CREATE TABLE kept_no_longer (n int)')
    await expect(client.query('INSERT INTO kept_no_longer VALUES ($1)', ['two'])).rejects.toMatchObject({
      code: '22P02',
    })
    // 25P02 (in_failed_sql_transaction)
    await expect(client.query('SELECT $1::int AS n', [2])).rejects.toMatchObject({ code: '25P02' })
    await client.query('ROLLBACK')
    expect((await client.query(`SELECT to_regclass('kept_no_longer') AS found`)).rows).toEqual([{ found: null }])
  } finally {
    client.release()
  }
})

test('answers and values of megabytes, in any script, come as they were sent', async () => {
  const text = 'Fässer für Łódź, 樽 — 🍺 '.repeat(100_000)
  expect((await pool.query('SELECT $1::text AS text', [text])).rows).toEqual([{ text }])
  const { rows } = await pool.query('SELECT n, repeat($1, 100) AS text FROM generate_series(1, 30000) n', ['ü'])
  expect(rows).toHaveLength(30_000)
  expect(rows.at(-1)).toEqual({ n: 30_000, text: 'ü'.repeat(100) })
})

test('statements that are kept prepared can be asked again with other values', async () => {
  for (const n of [1, 2, 3]) {
    const { rows } = await pool.query({ name: 'asked_again', text: 'SELECT $1::int AS n', values: [n] })
    expect(rows).toEqual([{ n }])
  }
})

test('a connection begins without what the one before left: no transaction, no prepared statement', async () => {
  const first = await pool.connect()
  await first.query('BEGIN')
  await first.query('CREATE TABLE left_open (n int)')
  await first.query({ name: 'of_the_first', text: 'SELECT 1 AS n' })
  // It is given back as one that is of no use any more, and the next is another.
  first.release(true)
  const { rows } = await pool.query({ name: 'of_the_first', text: `SELECT to_regclass('left_open') AS found` })
  expect(rows).toEqual([{ found: null }])
})

test('many statements one after the other leave the process time to hear of others', async () => {
  let heard = 0
  const listening = setInterval(() => {
    heard += 1
  }, 1)
  try {
    const ends = performance.now() + 1800
    while (performance.now() < ends) await pool.query('SELECT 1')
  } finally {
    clearInterval(listening)
  }
  expect(heard).toBeGreaterThan(1)
})
