// What a server's autovacuum does, for the embedded database, which has no processes beside it: the statistics of a table are
// gathered anew once enough of it has changed, and the room of rows that are gone is given back. Without it a table that was
// empty at the start counts as tiny for as long as the process runs, and a query that reads it may take seconds.
import type pg from 'pg'
import { z } from 'zod'

/** Milliseconds from the end of one round to the next. */
const PAUSE = 5_000

export interface Housekeeping {
  /** Ends it; resolves when the round that is under way is over. */
  stop(): Promise<void>
}

/** Does a round every few seconds, the first one after a pause. `onError` gets the error of a round that fails; the next round follows. */
export function keepHouse(pool: pg.Pool, onError: (error: Error) => void, pause = PAUSE): Housekeeping {
  let stopped = false
  let round = Promise.resolve()
  let timer = setTimeout(next, pause)
  timer.unref()
  function next(): void {
    round = houseworkRound(pool, () => stopped)
      .catch((error: unknown) => onError(error instanceof Error ? error : new Error(String(error))))
      .then(() => {
        if (stopped) return
        timer = setTimeout(next, pause)
        timer.unref()
      })
  }
  return {
    stop: () => {
      stopped = true
      clearTimeout(timer)
      return round
    },
  }
}

const dueShape = z.array(z.object({ name: z.string(), vacuum: z.boolean() }))

/**
 * Looks which tables have changed enough, by the thresholds that autovacuum has by default (PostgreSQL, "Automatic Vacuuming":
 * 50 rows and a tenth of the table for statistics, 50 rows and a fifth that are gone or 1,000 and a fifth that are new for
 * vacuuming), and processes them one by one, so that requests come in between. Answers their names.
 */
export async function houseworkRound(pool: pg.Pool, stopped = () => false): Promise<string[]> {
  // Counts of changes are held back until the connection is idle for a while, which this one never is.
  await pool.query('SELECT pg_stat_force_next_flush()')
  const { rows } = await pool.query(`
    SELECT format('%I.%I', schemaname, relname) AS "name",
      n_dead_tup > 50 + 0.2 * n_live_tup OR n_ins_since_vacuum > 1000 + 0.2 * n_live_tup AS "vacuum"
    FROM pg_stat_user_tables
    WHERE n_mod_since_analyze > 50 + 0.1 * n_live_tup
      OR n_dead_tup > 50 + 0.2 * n_live_tup OR n_ins_since_vacuum > 1000 + 0.2 * n_live_tup
    ORDER BY 1`)
  const done: string[] = []
  for (const { name, vacuum } of dueShape.parse(rows)) {
    if (stopped()) break
    await pool.query(`${vacuum ? 'VACUUM ANALYZE' : 'ANALYZE'} ${name}`)
    done.push(name)
  }
  return done
}
