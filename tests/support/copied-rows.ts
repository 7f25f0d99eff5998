// What a database that is restored, or failed over, does to one distributor: its rows are as they were when a copy was taken.
import type pg from 'pg'
import { insertions, rowsOf, tablesOf } from './kept-rows.ts'

/** Takes a copy of a distributor's rows. The answer puts it back: whatever was committed since is lost. */
export async function copyOfRows(pool: pg.Pool, distributorId: string): Promise<() => Promise<void>> {
  const copy = await rowsOf(pool, distributorId)
  return async () => {
    const deletions = (await tablesOf(pool)).map(
      ({ table, owner }) => `DELETE FROM "${table}" WHERE "${owner}" = '${distributorId}'`,
    )
    await pool.query(insertions(copy, distributorId, deletions))
  }
}
