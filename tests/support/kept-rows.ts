// A distributor that many tests begin with: written through the sources once in each worker, and put back by one statement
// afterwards, which takes a tenth of the time.
import pg from 'pg'
import { z } from 'zod'

/** All rows of one distributor: for each table that has some, the column that names it, the others, and the rows as text. */
type Rows = { table: string; owner: string; columns: string[]; rows: string }[]

const columnsShape = z.array(z.object({ table: z.string(), owner: z.string(), columns: z.array(z.string()) }))
const rowsShape = z.array(z.object({ table: z.string(), rows: z.string().nullable() }))

/**
 * Writes a distributor by `write`, or puts back what it wrote when it was called first with the same `key`: what `write`
 * answers must not depend on anything else. Its id may be another one each time.
 */
export class KeptRows<Answer> {
  readonly #kept = new Map<string, { rows: Rows; answer: Answer }>()

  async write(pool: pg.Pool, key: string, distributorId: string, write: () => Promise<Answer>): Promise<Answer> {
    const kept = this.#kept.get(key)
    if (kept) {
      await pool.query(insertions(kept.rows, distributorId))
      return kept.answer
    }
    const answer = await write()
    this.#kept.set(key, { rows: await rowsOf(pool, distributorId), answer })
    return answer
  }
}

let tables: z.infer<typeof columnsShape> | undefined

/** The tables that hold rows of distributors, with the column that names whose they are. */
export async function tablesOf(pool: pg.Pool): Promise<z.infer<typeof columnsShape>> {
  tables ??= columnsShape.parse((await pool.query(COLUMNS)).rows)
  return tables
}

/** All rows of a distributor, in one order, whatever the database stores them in. */
export async function rowsOf(pool: pg.Pool, distributorId: string): Promise<Rows> {
  const tables = await tablesOf(pool)
  const name = pg.escapeIdentifier
  const reads = tables.map(
    ({ table, owner }) =>
      `SELECT ${pg.escapeLiteral(table)} AS "table", array_agg(t ORDER BY t::text)::text AS "rows" FROM ${name(table)} t WHERE ${name(owner)} = $1`,
  )
  const { rows } = await pool.query(reads.join(' UNION ALL '), [distributorId])
  const texts = new Map(rowsShape.parse(rows).map(({ table, rows }) => [table, rows]))
  return tables.flatMap((table) => {
    const rows = texts.get(table.table)
    return rows ? [{ ...table, rows }] : []
  })
}

/** The distributor's own table names it by `id`, all others by `distributorId`. */
const OWNER = `a.attname = CASE c.relname WHEN 'Distributor' THEN 'id' ELSE 'distributorId' END`

const COLUMNS = `
  SELECT c.relname AS "table", min(a.attname::text) FILTER (WHERE ${OWNER}) AS "owner",
    json_agg(a.attname) FILTER (WHERE NOT ${OWNER}) AS "columns"
  FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum > 0 AND NOT a.attisdropped
  WHERE c.relkind = 'r' AND c.relnamespace = 'public'::regnamespace
  GROUP BY c.relname HAVING bool_or(${OWNER})`

/** Statements that write rows after others. Triggers and references rest meanwhile: the rows passed them when they were written first. */
export function insertions(kept: Rows, distributorId: string, first: readonly string[] = []): string {
  const name = pg.escapeIdentifier
  const id = pg.escapeLiteral(distributorId)
  const inserts = kept.map(({ table, owner, columns, rows }) => {
    const others = columns.map(name)
    return `INSERT INTO ${name(table)} (${[name(owner), ...others].join(', ')})
      SELECT ${[id, ...others.map((column) => `r.${column}`)].join(', ')}
      FROM unnest(${pg.escapeLiteral(rows)}::${name(table)}[]) r`
  })
  return [
    'SET session_replication_role = replica',
    ...first,
    ...inserts,
    'SET session_replication_role = DEFAULT',
  ].join('; ')
}
