// The one connection of the embedded database goes to the lines in turns.
import { afterAll, expect, test } from 'vitest'
import { embeddedPool, memoryDatabase } from '../../src/database/embedded-pool.ts'
import { workFor } from '../../src/thread-turns.ts'

const database = await memoryDatabase()
const pool = embeddedPool(database)
afterAll(async () => {
  await pool.end()
  await database.close()
})

test('one that asks for the connection once does not wait for all that another asks', async () => {
  const holder = await pool.connect()
  const answered: string[] = []
  const ask = (line: string) => workFor({ line }, () => pool.query('SELECT 1')).then(() => answered.push(line))
  const all = [...Array.from({ length: 6 }, () => ask('many')), ask('one')]
  holder.release()
  await Promise.all(all)
  expect(answered.indexOf('one')).toBeLessThanOrEqual(1)
})

test('a connection that is refused keeps no other from theirs', async () => {
  const closed = await memoryDatabase()
  const other = embeddedPool(closed)
  await closed.close()
  await expect(other.query('SELECT 1')).rejects.toThrow()
  await expect(other.query('SELECT 1')).rejects.toThrow()
})
